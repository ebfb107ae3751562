package study

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A guess is one figure of brakes, tyres or car that a hard stop hangs on, with what
// cars usually have, as factors of the value assumed (estimates; the friction of
// linings is that of [verdict.Linings]).
type guess struct {
	// keys are those that would set it.
	keys []string
	name string
	low  float64
	high float64
	of   func(c *sim.Car) *float64
	// lining is the brake whose friction it is: the range is then its kind's.
	lining func(c *sim.Car) *sim.Brake
}

// ends are the factors between which the figure usually lies.
func (g *guess) ends(c *sim.Car) (from, to float64) {
	if g.lining == nil {
		return g.low, g.high
	}
	b := g.lining(c)
	low, high := verdict.Linings(b.Kind)
	return float64(low / b.Friction), float64(high / b.Friction)
}

func ofFront(c *sim.Car) *sim.Brake { return &c.FrontBrake }
func ofRear(c *sim.Car) *sim.Brake  { return &c.RearBrake }

var guesses = []guess{
	{keys: []string{scenario.KeyBrakeFrontFriction, scenario.KeyBrakeFrontShoeFactor}, name: "the friction of the front linings", of: func(c *sim.Car) *float64 { return (*float64)(&c.FrontBrake.Friction) }, lining: ofFront},
	{[]string{scenario.KeyBrakeFrontPistonArea, scenario.KeyBrakeFrontPistonDiameter}, "the front pistons' area", 0.75, 1.25, func(c *sim.Car) *float64 { return (*float64)(&c.FrontBrake.PistonArea) }, nil},
	{[]string{scenario.KeyBrakeFrontRadius}, "the radius at which the front brakes grip", 0.9, 1.1, func(c *sim.Car) *float64 { return (*float64)(&c.FrontBrake.Radius) }, nil},
	{keys: []string{scenario.KeyBrakeRearFriction, scenario.KeyBrakeRearShoeFactor}, name: "the friction of the rear linings", of: func(c *sim.Car) *float64 { return (*float64)(&c.RearBrake.Friction) }, lining: ofRear},
	{[]string{scenario.KeyBrakeRearPistonArea, scenario.KeyBrakeRearPistonDiameter}, "the rear pistons' area", 0.75, 1.25, func(c *sim.Car) *float64 { return (*float64)(&c.RearBrake.PistonArea) }, nil},
	{[]string{scenario.KeyBrakeRearRadius}, "the radius at which the rear brakes grip", 0.9, 1.1, func(c *sim.Car) *float64 { return (*float64)(&c.RearBrake.Radius) }, nil},
	{[]string{scenario.KeyCarTyreRadius}, "the tyres' radius", 0.93, 1.07, func(c *sim.Car) *float64 { return (*float64)(&c.TyreRadius) }, nil},
	{[]string{scenario.KeyCarAdhesion}, "the tyres' grip", 0.78, 1.1, func(c *sim.Car) *float64 { return (*float64)(&c.Adhesion) }, nil},
	{[]string{scenario.KeyCarMass}, "the weight", 0.85, 1.15, func(c *sim.Car) *float64 { return (*float64)(&c.Mass) }, nil},
	{[]string{scenario.KeyCarFrontShare}, "the front axle's share of the weight", 0.92, 1.08, func(c *sim.Car) *float64 { return (*float64)(&c.FrontShare) }, nil},
}

// A turning is an assumed figure that would change what a hard stop is called, if it
// were at an end of its usual range.
type turning struct {
	*guess
	factor float64
	then   HardStop
}

// assumed returns the guesses that the scenario leaves to their defaults.
func assumed(s *scenario.Scenario) []guess {
	var out []guess
	for _, g := range guesses {
		set := false
		for _, key := range g.keys {
			set = set || s.IsSet(key)
		}
		if !set {
			out = append(out, g)
		}
	}
	return out
}

// turnings finds which assumed figures would turn the verdict on the hard stop of a
// curve, those that move it farthest first. The curve itself knows no brakes: only the line pressure asked for moves, and
// the force with it, by as much as a slow press has it.
func turnings(s *scenario.Scenario, f *ForceCurve) []turning {
	type moved struct {
		turns []turning
		far   float64 // of the line pressure, as a share
	}
	var all []moved
	slow := func(line answer.Optional[si.Pressure]) float64 {
		return where(f.pressingFine, lineOf, pedalOf, float64(line.Value()))
	}
	stop := float64(f.HardStop.Pedal.Value()) / slow(f.HardStop.Line)
	if f.HardStop.missing == noShortfall && math.IsNaN(stop) {
		stop = 1 // the hard stop lies beyond the curve's end
	}
	for _, g := range assumed(s) {
		var m moved
		least, most := g.ends(&s.Config.Car)
		for _, factor := range []float64{least, most} {
			c := s.Config
			*g.of(&c.Car) *= factor
			then := HardStop{FirstLock: verdict.RoadOf(&c).FirstLock()}
			then.Pedal = answer.Of(si.Force(stop * slow(then.Line)))
			switch {
			case !then.Line.Exists():
				then.missing = byBrakes
			case f.HardStop.missing == byStroke:
				continue // no brake or tyre gives it more stroke
			case !then.Pedal.Exists():
				then.missing = byForce
			}
			if then.called() != f.HardStop.called() {
				m.turns = append(m.turns, turning{&g, factor, then})
				m.far = max(m.far, math.Abs(float64(then.Line.Value()/f.HardStop.Line.Value())-1))
			}
		}
		all = append(all, m)
	}
	slices.SortStableFunc(all, func(a, b moved) int { return cmp.Compare(b.far, a.far) })
	var out []turning
	for _, m := range all {
		out = append(out, m.turns...)
	}
	return out
}

// called is the one word that a hard stop gets.
func (h HardStop) called() string {
	switch h.missing {
	case noShortfall:
		return verdict.Effort(h.Pedal.Value())
	case byForce:
		return verdict.Effort(verdict.HardestPedal)
	}
	return h.missing.String()
}

// turningWords name what of brakes and tyres is assumed, and which of it would turn the verdict.
func (r *CurveResult) turningWords(u si.System) string {
	if len(r.guessed) == 0 {
		return ""
	}
	var names []string
	for _, g := range r.guessed {
		names = append(names, g.name)
	}
	text := "Assumed for that, since not given (estimates): " + listed(names, "and") + "."
	if len(names) == len(guesses) {
		text = "All figures of brakes, tyres and weight are assumed for that (estimates)."
	}
	if len(r.turns) == 0 {
		return text + " None of them, by itself within what cars usually have, would turn the verdict."
	}
	turns, more := r.turnList(mostTurns, u)
	if more {
		return text + " These and others would turn the verdict: " + strings.Join(turns, ", ") + "."
	}
	return text + " What would turn the verdict: " + strings.Join(turns, ", ") + "."
}

// turnList names so many figures that would turn the verdict, with what each would make of
// it, and says whether there are more.
func (r *CurveResult) turnList(most int, u si.System) (turns []string, more bool) {
	for i, t := range r.turns {
		way := "more"
		if t.factor < 1 {
			way = "less"
		}
		turn := fmt.Sprintf("%.0f %% %s: %s", 100*math.Abs(t.factor-1), way, t.then.short(u))
		switch {
		case i > 0 && r.turns[i-1].name == t.name:
			last := &turns[len(turns)-1]
			*last = strings.TrimSuffix(*last, ")") + "; " + turn + ")"
		case len(turns) == most:
			return turns, true
		default:
			turns = append(turns, t.name+" ("+turn+")")
		}
	}
	return turns, false
}

// mostTurns is how many figures a sentence names.
const mostTurns = 3

// short says what a hard stop takes.
func (h HardStop) short(u si.System) string {
	switch h.missing {
	case noShortfall:
		return pedal(h.Pedal.Value(), u) + ", " + h.called()
	case byStroke:
		return "the master cylinder's stroke ends first"
	case byBrakes:
		return "no wheel locks"
	}
	return h.called()
}

// listed joins names with commas and one word before the last.
func listed(names []string, word string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " " + word + " " + names[len(names)-1]
}
