package workshop

import (
	"math"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// suited are conditions of tests that suit a car: a firm press lies below the knee of the
// sound car, and a hard one beyond it.
type suited struct {
	firm, held, hard si.Force
	vacuum           si.Vacuum
	lasts            si.Time
}

// leastStart is the least vacuum from which a leak is watched, with a hand pump if the
// engine has less: too little shows too little (estimate).
const leastStart = 30e3

func suitedTo(c *sim.Config) suited {
	s := suited{
		firm: 100, held: 200, hard: 300, lasts: 15,
		vacuum: si.Vacuum(min(66.7e3, math.Round(0.66*float64(c.Ambient.Pressure)/100)*100)),
	}
	// A test is not to ask for more than this engine gives.
	const toSpare, whole = 2e3, 1e3
	if has := math.Floor((float64(c.Source.Vacuum)-toSpare)/whole) * whole; has > 0 {
		s.vacuum = min(s.vacuum, si.Vacuum(max(has, leastStart)))
	}
	if c.Booster.Kind != sim.BoosterNone && c.Booster.Ratio > 1 {
		const applied = 10e-3 // m of hub travel
		knee := float64(c.Booster.ClosedForm(s.vacuum, applied).KneeInput) / float64(c.Pedal.Ratio*c.Pedal.Efficiency)
		s.firm = si.Force(min(max(math.Round(0.6*knee/10)*10, 40), 150))
		s.hard = si.Force(min(max(math.Round(1.7*knee/10)*10, 150), 400))
	}
	return s
}

// Menu is the tests that can be recommended for a car.
func Menu(c *sim.Config) []Trial {
	var out []Trial
	s := suitedTo(c)
	for _, t := range tests {
		for _, under := range t.recommended(s) {
			out = append(out, Trial{t, under})
		}
	}
	return out
}

// WithoutGauge is the test that shows a slow leak to a workshop without a vacuum gauge: the
// stops left after the engine stood for a while.
func WithoutGauge() Trial {
	return Trial{testOf(scenario.StopsLeft), Conditions{Wait: standsFor}}
}

// Tests returns the tests that can be recommended for a car, with their conditions.
func Tests(c sim.Config) []scenario.Reading {
	var out []scenario.Reading
	for _, t := range Menu(&c) {
		out = append(out, t.Reading(0))
	}
	return out
}
