package study

import (
	"fmt"
	"math"
	"strings"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
	"kneepoint/sim/verdict"
)

// A guess is one figure of brakes, tyres or car that a hard stop hangs on, with what
// cars usually have, as factors of the value assumed (estimates; the friction of
// linings is that of the usual letters E and F of SAE J866, secondary copy).
type guess struct {
	// keys are those that would set it.
	keys []string
	name string
	low  float64
	high float64
	of   func(c *sim.Car) *float64
}

var guesses = []guess{
	{[]string{"brake.front.friction"}, "the friction of the front linings", 0.85, 1.3, func(c *sim.Car) *float64 { return (*float64)(&c.FrontBrake.Friction) }},
	{[]string{"brake.front.piston_area", "brake.front.piston_diameter"}, "the front pistons' area", 0.75, 1.25, func(c *sim.Car) *float64 { return (*float64)(&c.FrontBrake.PistonArea) }},
	{[]string{"brake.front.radius"}, "the radius at which the front brakes grip", 0.9, 1.1, func(c *sim.Car) *float64 { return (*float64)(&c.FrontBrake.Radius) }},
	{[]string{"brake.rear.piston_area", "brake.rear.piston_diameter"}, "the rear pistons' area", 0.75, 1.25, func(c *sim.Car) *float64 { return (*float64)(&c.RearBrake.PistonArea) }},
	{[]string{"brake.rear.radius"}, "the radius at which the rear brakes grip", 0.9, 1.1, func(c *sim.Car) *float64 { return (*float64)(&c.RearBrake.Radius) }},
	{[]string{"car.tyre_radius"}, "the tyres' radius", 0.93, 1.07, func(c *sim.Car) *float64 { return (*float64)(&c.TyreRadius) }},
	{[]string{"car.adhesion"}, "the tyres' grip", 0.78, 1.1, func(c *sim.Car) *float64 { return (*float64)(&c.Adhesion) }},
	{[]string{"car.mass"}, "the weight", 0.85, 1.15, func(c *sim.Car) *float64 { return (*float64)(&c.Mass) }},
	{[]string{"car.front_share"}, "the front axle's share of the weight", 0.92, 1.08, func(c *sim.Car) *float64 { return (*float64)(&c.FrontShare) }},
}

// A turning is an assumed figure that would change what a hard stop is called, if it
// were at an end of its usual range.
type turning struct {
	name   string
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
// curve. The curve itself knows no brakes: only the line pressure asked for moves.
func turnings(s *scenario.Scenario, f *ForceCurve) []turning {
	var out []turning
	for _, g := range assumed(s) {
		for _, factor := range []float64{g.low, g.high} {
			c := s.Config
			*g.of(&c.Car) *= factor
			if then := hardStopOf(c, f.pressingFine); then.called() != f.HardStop.called() {
				out = append(out, turning{g.name, factor, then})
			}
		}
	}
	return out
}

// called is the one word that a hard stop gets.
func (h HardStop) called() string {
	switch h.missing {
	case noShortfall:
		return verdict.Effort(si.Force(h.Pedal))
	case byForce:
		return verdict.Effort(hardStopPedal)
	}
	return string(h.missing)
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
	var turns []string
	for _, t := range r.turns {
		way := "more"
		if t.factor < 1 {
			way = "less"
		}
		turns = append(turns, fmt.Sprintf("%s (%.0f %% %s: %s)", t.name, 100*math.Abs(t.factor-1), way, t.then.short(u)))
	}
	return text + " These would turn the verdict: " + strings.Join(turns, "; ") + "."
}

// short says what a hard stop takes.
func (h HardStop) short(u si.System) string {
	switch h.missing {
	case noShortfall:
		return pedal(si.Force(h.Pedal), u) + ", " + h.called()
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
