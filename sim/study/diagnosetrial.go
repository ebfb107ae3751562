package study

import (
	"fmt"
	"math"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A trial is a workshop test with its conditions.
type trial struct {
	test  scenario.Test
	pedal si.Force
	// start is the vacuum in the booster before a leak-down, or while a line
	// pressure is read.
	start si.Vacuum
	lasts si.Time
}

func trialOf(r scenario.Reading) trial {
	t := trial{test: r.Test}
	switch r.Test {
	case scenario.LeakDown:
		t.pedal, t.start, t.lasts = r.Pedal, r.Start, r.Lasts
	case scenario.LinePressure:
		t.pedal, t.start = r.Pedal, r.Vacuum
	case scenario.PedalTravel:
		t.pedal, t.start = r.Pedal, r.Vacuum
	case scenario.PressureCreep:
		t.pedal, t.lasts = r.Pedal, r.Lasts
	case scenario.PedalSettles, scenario.Recharge:
		t.pedal = r.Pedal
	}
	return t
}

// near reports whether two trials are one test with conditions so alike that the
// second would tell nothing new: a force or vacuum is written in round figures of
// one unit or another.
func (t trial) near(o trial) bool {
	close := func(a, b float64) bool { return math.Abs(a-b) <= 0.05*max(math.Abs(a), math.Abs(b)) }
	return t.test == o.test && close(float64(t.pedal), float64(o.pedal)) &&
		close(float64(t.start), float64(o.start)) && close(float64(t.lasts), float64(o.lasts))
}

// reading is the trial with what was read.
func (t trial) reading(outcome float64) scenario.Reading {
	r := scenario.Reading{Test: t.test}
	switch t.test {
	case scenario.LeakDown:
		r.Pedal, r.Start, r.Lasts, r.Drop = t.pedal, t.start, t.lasts, si.Vacuum(outcome)
	case scenario.LinePressure:
		r.Pedal, r.Vacuum, r.Value = t.pedal, t.start, outcome
	case scenario.PressureCreep:
		r.Pedal, r.Lasts, r.Value = t.pedal, t.lasts, outcome
	case scenario.PedalTravel:
		r.Pedal, r.Vacuum, r.Travel = t.pedal, t.start, si.Length(outcome)
	case scenario.PedalSettles, scenario.Recharge:
		r.Pedal, r.Takes = t.pedal, si.Time(outcome)
	case scenario.StopsLeft:
		r.Count = int(math.Floor(outcome))
	case scenario.PedalDropsOnStart:
		r.Answer = outcome >= gaugeShows
	default:
		r.Value = outcome
	}
	return r
}

// read returns what a reading says on the scale of its outcome. A count stands
// for all that lies between it and the next; whether a pedal drops is a yes or no.
func read(r scenario.Reading) float64 {
	switch r.Test {
	case scenario.LeakDown:
		return float64(r.Drop)
	case scenario.PedalTravel:
		return float64(r.Travel)
	case scenario.PedalSettles, scenario.Recharge:
		return min(float64(r.Takes), float64(waitMost))
	case scenario.StopsLeft:
		return min(float64(r.Count)+0.5, mostPumps)
	case scenario.PedalDropsOnStart:
		if r.Answer {
			return 1
		}
		return 0
	default:
		return r.Value
	}
}

// shows is what is put down of an outcome: a figure, a whole number of stops, or 1
// and 0 for yes and no.
func (t trial) shows(outcome float64) float64 {
	switch {
	case t.isYesNo() && outcome >= gaugeShows:
		return 1
	case t.isYesNo():
		return 0
	case t.gaugeCounts():
		return math.Floor(outcome)
	}
	return outcome
}

// Half widths of a gauge's error where a reading gives none, and the steps in
// which it is read (estimates).
const (
	dropError   = 1e3 // Pa: the difference of two readings of one gauge
	vacuumError = 0.5 * float64(si.InchOfMercury)
	lineError   = 0.2e6
	creepError  = 0.15e6
	countError  = 0.5
	feltError   = 3e-3 // m of pedal travel
	ruleError   = 4e-3 // m: a rule held beside a pedal that a foot is on
	watchError  = 0.5  // s: a watch stopped by hand when a needle or pedal stands

	vacuumStep = 0.25 * float64(si.InchOfMercury)
	lineStep   = 10 * float64(si.PoundPerSquareInch)
	ruleStep   = 1e-3
	watchStep  = 0.1
)

// gauge returns the half width of the error of a trial's instrument and the step
// in which it is read, on the scale of the outcome.
func (t trial) gauge() (half, step float64) {
	switch t.test {
	case scenario.LeakDown:
		return dropError, vacuumStep
	case scenario.LinePressure:
		return lineError, lineStep
	case scenario.PressureCreep:
		return creepError, lineStep
	case scenario.PedalTravel:
		return ruleError, ruleStep
	case scenario.PedalSettles, scenario.Recharge:
		return watchError, watchStep
	case scenario.StopsLeft:
		return countError, 1
	case scenario.PedalDropsOnStart:
		return feltError, 0
	default:
		return vacuumError, vacuumStep
	}
}

// scatter is the variance of one reading about what the simulated car does:
// the gauge's error, taken as even over its width, and the step; given is the
// half width that came with the reading, 0 for none.
func (t trial) scatter(given float64) float64 {
	half, step := t.gauge()
	if given > 0 {
		half = given
	}
	return (half*half + step*step/4) / 3
}

// felt drops a slope that is far below what the gauge shows.
func (t trial) felt(slope float64) float64 {
	half, _ := t.gauge()
	if math.Abs(slope) < 0.01*half {
		return 0
	}
	return slope
}

// unlike is the variance by which a real car differs from a simulated one with
// all its figures right (estimates).
func (t trial) unlike(outcome float64) float64 {
	var d float64
	switch t.test {
	case scenario.LeakDown:
		d = 200 + 0.04*outcome
	case scenario.LinePressure:
		d = 0.03e6 + 0.02*outcome
	case scenario.PressureCreep:
		d = 0.03e6 + 0.1*outcome
	case scenario.PedalTravel:
		d = 1e-3 + 0.02*outcome
	case scenario.PedalSettles, scenario.Recharge:
		d = 0.05 + 0.1*outcome
	case scenario.StopsLeft:
		d = 0.2 + 0.03*outcome
	case scenario.PedalDropsOnStart:
		d = 1e-3 + 0.1*outcome
	default:
		d = 300
	}
	return d * d
}

// most is the largest outcome there can be, for readings that nothing explains.
func (t trial) most(sound float64, c *sim.Config) float64 {
	switch t.test {
	case scenario.LeakDown:
		return float64(t.start)
	case scenario.LinePressure:
		return 2*sound + 1e6
	case scenario.PressureCreep:
		return 3e6
	case scenario.PedalTravel:
		return 2*sound + 0.1
	case scenario.PedalSettles, scenario.Recharge:
		return float64(waitMost)
	case scenario.StopsLeft:
		return mostPumps
	default:
		return float64(c.Ambient.Pressure)
	}
}

// isYesNo says that the reading is an answer and no figure.
func (t trial) isYesNo() bool { return t.test == scenario.PedalDropsOnStart }

// gaugeCounts says that the reading is a number of stops.
func (t trial) gaugeCounts() bool { return t.test == scenario.StopsLeft }

// linePlumbing is the time to fit a gauge into a brake line and to bleed
// afterwards: it counts once.
const linePlumbing = 20.0

// minutes is how long a trial takes (estimates); fitted says that there is a
// gauge in the line already.
func (t trial) minutes(fitted bool) float64 {
	var m float64
	switch t.test {
	case scenario.ManifoldVacuum:
		return 3
	case scenario.BoosterVacuum:
		return 4
	case scenario.LeakDown:
		if t.pedal > 0 {
			return 6
		}
		return 5
	case scenario.LinePressure, scenario.PressureCreep:
		m = 3
	case scenario.StopsLeft, scenario.Recharge:
		return 4
	case scenario.PedalTravel:
		if t.start > 0 {
			return 5
		}
		return 3
	case scenario.PedalSettles:
		return 3
	default:
		return 2
	}
	if !fitted {
		m += linePlumbing
	}
	return m
}

// needsLine says that the trial needs a gauge in a brake line.
func (t trial) needsLine() bool {
	return t.test == scenario.LinePressure || t.test == scenario.PressureCreep
}

// words names a trial with its conditions.
func (t trial) words(u si.System) string {
	switch t.test {
	case scenario.LeakDown:
		held := "pedal free"
		if t.pedal > 0 {
			held = pedal(t.pedal, u) + " held"
		}
		return fmt.Sprintf("leak-down, %s, %s from %s", held, seconds(t.lasts), si.FormatFine(si.DimVacuum, float64(t.start), u))
	case scenario.LinePressure, scenario.PedalTravel:
		with := "no vacuum"
		if t.start > 0 {
			with = vacuum(t.start, u)
		}
		return fmt.Sprintf("%s at %s with %s", t.test, pedal(t.pedal, u), with)
	case scenario.PressureCreep:
		return fmt.Sprintf("pressure-creep, %s held for %s", pedal(t.pedal, u), seconds(t.lasts))
	case scenario.PedalSettles, scenario.Recharge:
		return fmt.Sprintf("%s, %s", t.test, pedal(t.pedal, u))
	default:
		return string(t.test)
	}
}

// how says what to do.
func (t trial) how(u si.System) string {
	switch t.test {
	case scenario.ManifoldVacuum:
		return "Engine warm and idling, in gear with the wheels chocked if it is read so; gauge at the manifold."
	case scenario.BoosterVacuum:
		return "Engine idling, gauge at the booster's end of the hose, before the check valve, pedal free."
	case scenario.LeakDown:
		if t.pedal > 0 {
			return fmt.Sprintf("Gauge at the booster. Press to %s with the vacuum on and hold; shut the vacuum off with %s on the gauge; read what is lost in %s.",
				pedal(t.pedal, u), si.FormatFine(si.DimVacuum, float64(t.start), u), seconds(t.lasts))
		}
		return fmt.Sprintf("Gauge at the booster, pedal free. Shut the vacuum off with %s on the gauge; read what is lost in %s.",
			si.FormatFine(si.DimVacuum, float64(t.start), u), seconds(t.lasts))
	case scenario.LinePressure:
		if t.start == 0 {
			return fmt.Sprintf("Gauge in a front brake line, engine off, booster pumped empty. Press to %s and read.", pedal(t.pedal, u))
		}
		return fmt.Sprintf("Gauge in a front brake line and at the booster. Keep %s on the vacuum gauge, press to %s and read.",
			vacuum(t.start, u), pedal(t.pedal, u))
	case scenario.PressureCreep:
		return fmt.Sprintf("Gauge in a front brake line. Engine idling: press to %s and hold. Stop the engine and read by how much the pressure rises in %s, force unchanged.",
			pedal(t.pedal, u), seconds(t.lasts))
	case scenario.PedalTravel:
		if t.start == 0 {
			return fmt.Sprintf("Engine off, pumped until the pedal is hard, a rule at the pedal. Press to %s and read how far the pedal has gone from rest.", pedal(t.pedal, u))
		}
		return fmt.Sprintf("Engine off, hand pump and gauge at the booster, a rule at the pedal. Keep %s on the gauge, press to %s and read how far the pedal has gone from rest.",
			vacuum(t.start, u), pedal(t.pedal, u))
	case scenario.PedalSettles:
		return fmt.Sprintf("Engine idling. Press to %s as fast as a foot can and hold; time until the pedal stops sinking, to within %s.",
			pedal(t.pedal, u), si.Format(si.DimLength, standsWithin, u))
	case scenario.Recharge:
		return fmt.Sprintf("Engine idling, gauge at the booster. Press to %s for a few seconds, let go and time until the needle is back to within %s of where it was. If it is not within %s, write %s.",
			pedal(t.pedal, u), si.Format(si.DimVacuum, backWithin, u), seconds(waitMost), seconds(waitMost))
	case scenario.StopsLeft:
		return "Engine off after a minute at idle. Pump as for a normal stop, a few seconds apart; count the pumps before the one that is hard."
	default:
		return "Engine off, pump until the pedal is hard, keep a light foot on it and start the engine: does the pedal go down by a finger's breadth?"
	}
}

// menu is the tests that can be recommended. Two line pressures lie below and
// beyond the knee of the sound car.
func menu(c *sim.Config) []trial {
	start := si.Vacuum(min(66.7e3, math.Round(0.66*float64(c.Ambient.Pressure)/100)*100))
	firm, hard := si.Force(100), si.Force(300)
	if c.Booster.Kind != sim.NoBooster && c.Booster.Ratio > 1 {
		const applied = 10e-3 // m of hub travel
		knee := float64(closedForm(&c.Booster, start, applied).KneeInput) / float64(c.Pedal.Ratio*c.Pedal.Efficiency)
		firm = si.Force(min(max(math.Round(0.6*knee/10)*10, 40), 150))
		hard = si.Force(min(max(math.Round(1.7*knee/10)*10, 150), 400))
	}
	held := si.Force(200)
	const lasts = 15
	return []trial{
		{test: scenario.ManifoldVacuum},
		{test: scenario.BoosterVacuum},
		{test: scenario.LeakDown, start: start, lasts: lasts},
		{test: scenario.LeakDown, pedal: held, start: start, lasts: lasts},
		{test: scenario.StopsLeft},
		{test: scenario.PedalDropsOnStart},
		{test: scenario.LinePressure, pedal: hard},
		{test: scenario.LinePressure, pedal: firm, start: start},
		{test: scenario.LinePressure, pedal: hard, start: start},
		{test: scenario.PressureCreep, pedal: firm, lasts: lasts},
		{test: scenario.PedalTravel, pedal: firm},
		{test: scenario.PedalTravel, pedal: firm, start: start},
		{test: scenario.PedalSettles, pedal: hard},
		{test: scenario.Recharge, pedal: hard},
	}
}
