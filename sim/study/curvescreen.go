package study

import (
	"fmt"
	"strings"

	"kneepoint/internal/verdict"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// Screen says what a hard stop takes, and what would turn that.
func (r *CurveResult) Screen(u si.System) answer.Screen {
	s := answer.Screen{Verdict: r.shortVerdict(u), DependsOn: r.dependsOn(u)}
	for i := range r.Curves {
		if !r.none {
			s.More = append(s.More, r.Curves[i].kneeWords(u))
		}
	}
	s.Next, s.Command = r.next()
	return s
}

// shortVerdict is the hard stop at the first vacuum, and in a few words at the others.
func (r *CurveResult) shortVerdict(u si.System) []string {
	first := &r.Curves[0]
	text := first.Verdict(u)
	for i := range r.Curves[1:] {
		f := &r.Curves[1+i]
		text += fmt.Sprintf(" At %s: %s.", f.vacuumText(u), f.HardStop.short(u))
	}
	words := []string{LostWords(&r.config)}
	switch {
	case r.estimated:
		words = append(words, nobodyMeasured(first.Vacuum.Value(), r.Curves[len(r.Curves)-1].Vacuum.Value(), u)+".")
	case len(r.pumped) > 1:
		words = append(words, fmt.Sprintf("With the electric pump there is between %s and %s in the booster at rest: count on the first.",
			vacuum(r.pumped[0].vacuum, u), vacuum(r.pumped[1].vacuum, u)))
	}
	if r.duty != nil && !r.duty.KeepsUp {
		words = append(words, r.duty.words(r.config, u)[0])
	}
	words = append(words, text, r.note.AltitudeWords(u), r.easyVacuumWords(u))
	if r.easy() {
		words = append(words, r.note.LowVacuumWords(first.Vacuum.Value(), u))
	}
	return tidy(words...)
}

func (r *CurveResult) easy() bool { return r.Curves[0].HardStop.called() == verdict.Effort(0) }

// dependsOn names the assumed figures that would turn the verdict; where none does, how far
// it is to where the help ends.
func (r *CurveResult) dependsOn(u si.System) string {
	const few = 2
	turns, _ := r.turnList(few, u)
	if r.estimated {
		turns = append([]string{"the idle vacuum"}, turns[:min(1, len(turns))]...)
	}
	first := &r.Curves[0]
	switch {
	case len(turns) > 0:
		return listed(turns, "and") + ", which nobody gave"
	case r.none:
		return leverAndBore(&r.config, u)
	case first.Knee.Line.Exists() && first.HardStop.Line.Exists():
		return fmt.Sprintf("the vacuum: at %s the help ends at %s in the line, and this stop takes %s",
			first.vacuumText(u), pressure(first.Knee.Line.Value(), u), pressure(first.HardStop.Line.Value(), u))
	}
	return fmt.Sprintf("the vacuum, %s", first.vacuumText(u))
}

// next is to measure what nobody measured, or to look at other parts.
func (r *CurveResult) next() (string, answer.Command) {
	first := &r.Curves[0]
	switch {
	case hasLost(&r.config):
		return mendFirst, answer.Command{}
	case r.estimated:
		return gaugeFirst, answer.Command{Verb: toCurve.Verb, Args: []string{"--vacuum", "12 inHg"}}
	case first.HardStop.Axle == verdict.RearAxle:
		return rearFirstNext(r.config.Car)
	case first.HardStop.missing == byBrakes:
		return "look for larger brakes, and " + seeFailures, toFailures
	}
	var advice []string
	if key := r.toMeasure(); key != nil {
		advice = append(advice, measured(r.asked, key.name, key.measured()))
	}
	to := toChoose
	switch {
	case r.easy() && r.none:
		advice, to = append(advice, seeFailures), toFailures
	case r.easy():
		advice, to = append(advice, seeReserve), toReserve
	default:
		advice = append(advice, seeParts)
	}
	return strings.Join(tidy(advice...), "; then "), to
}

// toMeasure is the figure to find out first: of those that would turn the verdict the
// first that is measured with the car at rest.
func (r *CurveResult) toMeasure() *guess {
	for _, t := range r.turns {
		if t.measured() != scenario.KeyCarAdhesion {
			return t.guess
		}
	}
	return nil
}

// measured is the key that says how the figure is found out.
func (g *guess) measured() string { return g.keys[0] }
