package study

import (
	"fmt"

	"kneepoint/internal/verdict"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// Screen says which axle locks first, and whether a valve has to see to that.
func (r *BalanceResult) Screen(u si.System) answer.Screen {
	s := answer.Screen{Verdict: []string{r.lockWords(u), r.valveWords(u)}, DependsOn: r.dependsOn(u)}
	car := r.config.Car
	for _, axle := range []verdict.Axle{verdict.FrontAxle, verdict.RearAxle} {
		if brake, kept := residualOf(axle, &car); !brake.Kind.IsDrum() && brake.PadsDrag(kept) {
			s.Verdict = append(s.Verdict, residualWords(axle, &car, u)...)
		}
	}
	if hasLost(&r.config) {
		s.Verdict = append(s.Verdict, lostCircuit)
	}
	s.Next, s.Command = r.next(u)
	return s
}

// dependsOn names the grip of the drums' linings, or that of the road.
func (r *BalanceResult) dependsOn(u si.System) string {
	l, m := r.Linings, r.MoreFriction
	switch {
	case l != nil && l.Turns != nil:
		return fmt.Sprintf("how well the drums' linings grip, which nobody gave: %s; it turns at a friction of about %s",
			atBoth(l.Low.FirstLock, l.High.FirstLock, u), l.Turns.frictions())
	case l != nil:
		text := "how well the drums' linings grip, which nobody gave"
		if l.High.FirstLock.Axle == l.Low.FirstLock.Axle {
			text += ", but the order stays: " + atBoth(l.Low.FirstLock, l.High.FirstLock, u)
		}
		if v := l.High.Valve; r.Cases[0].FirstLock.Axle != verdict.RearAxle && hasValve(&r.config.Car) && v.SplitPressure.Exists() && r.config.Car.SplitPressure > v.SplitPressure.Value() {
			text += fmt.Sprintf("; yet with the most grip the valve would have to split at %s, and on a road with less grip the rear wheels can lock first", pressure(v.SplitPressure.Value(), u))
		}
		return text
	case m != nil && m.Axle != verdict.NoAxle:
		return fmt.Sprintf("how well the drums' linings grip: with a tenth more friction %s", locking(*m, u))
	}
	text := fmt.Sprintf("the grip of the road, %.2g here", float64(r.Adhesion))
	if from := r.without().Crossing; from.Exists() {
		text += fmt.Sprintf(": without a valve the rear wheels ask for more of it than the front ones from %s on", slowing(from.Value(), u))
	}
	return text
}

// next is what to fit, or what to look up.
func (r *BalanceResult) next(u si.System) (string, answer.Command) {
	v, first := r.Valve, r.Cases[0].FirstLock.Axle
	car := r.config.Car
	const letters = "read the letters on the edge of the drums' linings: they stand for the friction (SAE J866)"
	switch {
	case first == verdict.RearAxle && v.Needed && v.Possible:
		return fmt.Sprintf("fit a proportioning valve that splits at %s or lower, or an adjustable one, before the car is driven hard", pressure(v.SplitPressure.Value(), u)), answer.Command{}
	case first == verdict.RearAxle:
		return smallerRear, answer.Command{}
	case r.valveAssumed:
		return "look whether this car has the proportioning valve that is assumed here; without one it would be", answer.Command{Verb: toBalance.Verb, Args: []string{"--set", scenario.KeyValvesSplitSlope + "=1"}}
	case r.Linings != nil:
		return letters + "; then " + seeFailures, toFailures
	case v.Needed && v.Possible && !hasValve(&car):
		return fmt.Sprintf("fit a proportioning valve that splits at %s or lower, or an adjustable one", pressure(v.SplitPressure.Value(), u)), answer.Command{}
	}
	return seeFailures, toFailures
}
