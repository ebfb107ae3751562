package main

import (
	"math"
	"math/rand/v2"

	"kneepoint/internal/verdict"
	"kneepoint/internal/workshop"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A technician reads instruments of his own, and sees signs as well as he does. All bounds
// are guesses of this fleet; none is taken from the diagnosis.
type technician struct {
	gauges workshop.Gauges
	// lineOff is the share by which the line gauge is off.
	lineOff float64
	// sees is the chance that a sign which is there is reported, imagines that one which is
	// not is.
	sees, imagines float64
	// hears is the flow of air, in kg/s, from which he hears it, idles that from which an
	// idle changes to him, and feels the travel of a pedal, in m.
	hears, idles, feels float64
	// lag is by how much he stops a watch too late, in s.
	lag float64
}

func drawTechnician(rng *rand.Rand) technician {
	return technician{
		gauges: workshop.Gauges{
			Vacuum: si.Vacuum(between(rng, -0.5, 0.5) * float64(si.InchOfMercury)),
			Pedal:  si.Ratio(between(rng, -0.04, 0.04)),
		},
		lineOff: between(rng, -0.02, 0.02),
		sees:    between(rng, 0.85, 0.99), imagines: between(rng, 0.005, 0.06),
		hears: 0.25e-3 * math.Exp(between(rng, -0.5, 0.5)),
		idles: 0.35e-3 * math.Exp(between(rng, -0.5, 0.5)),
		feels: between(rng, 4e-3, 7e-3),
		lag:   between(rng, 0, 0.4),
	}
}

// sees says whether a sign is reported.
func (c *car) sees(there bool) bool {
	if there {
		return c.rng.Float64() < c.technician.sees
	}
	return c.rng.Float64() < c.technician.imagines
}

// look answers a test whose outcome is not simulated; ok is false where it is.
func (c *car) look(test scenario.Reading) (r scenario.Reading, ok bool) {
	r = test
	switch test.Test {
	case scenario.WheelDrags:
		there := c.shows[scenario.WheelDrags]
		if test.Axle == verdict.RearAxle {
			there = c.rearDrags
		}
		r.Answer = c.sees(there)
	case scenario.ToeLiftFrees, scenario.NutsFree, scenario.PipeFrees, scenario.BleederFrees:
		if r.CantTell = !c.drags(); !r.CantTell {
			r.Answer = c.sees(c.shows[test.Test])
		}
	case scenario.PedalFeel, scenario.PumpUp, scenario.ParkingBrakeLifts, scenario.PinchHoses, scenario.FluidLevel, scenario.FluidInHose,
		scenario.CheckValveBlow, scenario.Fountain, scenario.LiningsBad:
		r.Answer = c.sees(c.shows[test.Test])
	default:
		return r, false
	}
	return r, true
}

// read is what the technician reads where right instruments would show the outcome.
func (c *car) read(test scenario.Reading, outcome float64) scenario.Reading {
	t, r := &c.technician, test
	round := func(v, step float64) float64 { return math.Round(v/step) * step }
	const inHg = float64(si.InchOfMercury)
	var v float64
	switch test.Test {
	case scenario.Hiss:
		r.Answer = c.sees(outcome > t.hears)
	case scenario.IdleChanges:
		r.Answer = c.sees(outcome > t.idles)
	case scenario.PedalDropsOnStart:
		r.Answer = c.sees(outcome > t.feels)
	case scenario.StopsLeft:
		r.Count = int(max(0, outcome+between(c.rng, -0.4, 0.4)))
	case scenario.ManifoldVacuum, scenario.BoosterVacuum:
		r.Value = max(0, round(outcome+between(c.rng, -0.25, 0.25)*inHg, 0.25*inHg))
	case scenario.LeakDown: // two readings of one needle
		v = round(outcome+(between(c.rng, -0.2, 0.2)+between(c.rng, -0.2, 0.2))*inHg, 0.25*inHg)
		r.Drop = si.Vacuum(min(max(0, v), float64(test.Start)))
	case scenario.LinePressure, scenario.PressureCreep:
		v = outcome*(1+t.lineOff) + between(c.rng, -0.1e6, 0.1e6)
		if test.Test == scenario.LinePressure {
			v = max(0, v)
		}
		r.Value = round(v, 10*float64(si.PoundPerSquareInch))
	case scenario.PedalTravel, scenario.PedalSinks:
		r.Travel = si.Length(max(0, round(outcome+between(c.rng, -4e-3, 4e-3), 1e-3)))
	case scenario.PedalSettles, scenario.Recharge:
		r.Takes = si.Time(max(0, round(outcome+t.lag+between(c.rng, -0.2, 0.2), 0.1)))
	}
	return r
}
