package study

import (
	"context"
	"fmt"
	"math"
	"slices"

	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// lessVacuum is what a stop in gear, or a gauge that flatters, may cost.
const lessVacuum = scenario.LeastGearDrop

// withLessVacuum counts the stops from somewhat less vacuum, for the same demand, where
// nothing else in the result says what the count depends on.
func (r *ReserveResult) withLessVacuum(ctx context.Context, s *scenario.Scenario) error {
	v := s.Config.SourceVacuum() - lessVacuum
	if r.config.Booster.Kind == sim.BoosterNone || r.VolumeRange.decides() || hasPump(r.config) || len(s.Spreads) > 0 || v <= 0 || r.Stops[0].missing != noShortfall {
		return nil
	}
	less := &ReserveResult{settings: s.Reserve, config: at(s.Config, v)}
	want := stopping{}
	if r.DemandLine.Exists() {
		want.line = r.demandLine()
	}
	if err := less.simulate(ctx, want, nil); err != nil {
		return err
	}
	count := less.tally()
	r.lessVacuum = &count
	return nil
}

// Screen says how many stops there are and what the foot needs for them.
func (r *ReserveResult) Screen(u si.System) answer.Screen {
	s := answer.Screen{DependsOn: r.dependsOn(u)}
	if r.config.Booster.Kind == sim.BoosterNone {
		s.Verdict = r.manualWords(u)
		s.Next, s.Command = seeFailures, toFailures
		switch f := r.Stops[0].Needed; {
		case hasLost(&r.config):
			s.Next, s.Command = mendFirst, answer.Command{}
		case !f.Exists() || f.Value() > verdict.EasyPedal:
			s.Next, s.Command = seeParts, toChoose
		}
		return s
	}
	words := []string{LostWords(&r.config), r.count(u), r.note.AltitudeWords(u), r.asked(u) + " " + r.effortWords(u) + " " + easyIs(u)}
	if r.Pump != nil {
		words = append(words, r.Pump.words(r.config, u)[0], r.Pump.worstWords(r.config, u))
	}
	if r.bleeds() {
		words = append(words, bledTank)
	}
	s.Verdict = tidy(words...)
	s.More = tidy(append([]string{r.note.LowVacuumWords(r.StartVacuum.Value(), u)}, r.tankWords(u)...)...)
	s.More = slices.DeleteFunc(s.More, func(w string) bool { return slices.Contains(words, w) })
	s.Next, s.Command = r.next(u)
	return s
}

// easyIs says up to which force a pedal is called what.
func easyIs(u si.System) string {
	return fmt.Sprintf("(Easy: up to %s, heavy: up to %s; %s.)", pedal(verdict.EasyPedal, u), pedal(verdict.HeavyPedal, u), verdict.EffortSource)
}

// dependsOn names what the count depends on most.
func (r *ReserveResult) dependsOn(u si.System) string {
	if r.Sure != nil && len(r.Sure.Chances) > 0 && len(r.Sure.inputs) > 0 {
		return r.sureOf(u)
	}
	switch {
	case r.config.Booster.Kind == sim.BoosterNone:
		return leverAndBore(&r.config, u)
	case r.Estimated != nil:
		b := r.Estimated
		return fmt.Sprintf("the idle vacuum, which nobody measured: the cam lets expect %s (estimate), and that is %s at the low end and %d at the high one",
			si.FormatSpan(si.DimVacuum, float64(b.LowVacuum), float64(b.HighVacuum), u), counted(b.LowStops, "assisted stop"), b.HighStops)
	case r.VolumeRange.decides():
		v := r.VolumeRange
		return fmt.Sprintf("the room in the booster, which nobody gave: those of this size may have %s in front (estimate), and the pedal forces above are for the least of that",
			si.FormatSpan(si.DimVolume, float64(v.LowFrontVolume), float64(v.HighFrontVolume), u))
	case r.Pump != nil:
		return fmt.Sprintf("the pump, and where it switches on: it leaves %s in the booster at rest", vacuum(r.Pump.RestVacuum, u))
	case r.lessVacuum != nil && *r.lessVacuum == r.tally():
		return fmt.Sprintf("the vacuum at the start, %s, but little: with %s less the count is the same", chamber(r.StartVacuum.Value(), u), vacuum(lessVacuum, u))
	case r.lessVacuum != nil:
		return fmt.Sprintf("the vacuum at the start, %s: with %s less %s", chamber(r.StartVacuum.Value(), u), vacuum(lessVacuum, u), r.lessVacuum)
	}
	return fmt.Sprintf("the vacuum at the start, %s", chamber(r.StartVacuum.Value(), u))
}

// sureOf is how sure the count is, and on which input it hangs most.
func (r *ReserveResult) sureOf(u si.System) string {
	at := max(0, r.AssistedStops-1)
	at = min(at, len(r.Sure.Chances)-1)
	c := r.Sure.Chances[at]
	input := r.Sure.inputs[0].Path
	if len(r.Sure.Influences) > 0 && r.Sure.Influences[0].Total.Exists() {
		input = r.Sure.Influences[0].Input
	}
	for _, in := range r.Sure.inputs {
		if in.Path == input {
			input = spreadText(in, u)
		}
	}
	return fmt.Sprintf("%s: anywhere within it, %s is %.0f %% sure (± %.0f)", input, c.Criterion, 100*c.Chance, math.Ceil(200*c.Error))
}

// next is what makes the count surer, or better.
func (r *ReserveResult) next(u si.System) (string, answer.Command) {
	const fewStops = 2
	switch {
	case hasLost(&r.config):
		return mendFirst, answer.Command{}
	case r.Estimated != nil:
		return gaugeFirst, answer.Command{Verb: toReserve.Verb, Args: []string{"--set", scenario.KeySourceVacuum + "=12 inHg"}}
	case r.HeavyStops < fewStops:
		return seeParts, toChoose
	case r.VolumeRange.decides():
		return "log the vacuum at the booster over a few stops with the engine off; from that log the room is found by", answer.Command{Verb: "fit", Args: []string{"gauge.csv", "--find", scenario.KeyBoosterFrontVolume}}
	case r.settings.Engine != sim.EngineOff:
		return seeReserve, answer.Command{Verb: toReserve.Verb, Args: []string{"--set", scenario.KeyReserveEngine + "=off"}}
	}
	return seeHardStop, toCurve
}
