package study

import (
	"math"
	"sort"

	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// The stretches that lines are fitted over, as shares of the input at run-out:
// the power line after QC/T 307 (secondary copy), the run-out line beyond it.
const (
	powerFrom, powerTo = 0.3, 0.7
	runOutFrom         = 1.1
	afterJump          = 25.0 // N of input beyond the cut-in, where the disc's corner is past
)

// readOff takes the figures off a slow press; points and hysteresis want the release.
func readOff(c sim.Config, t *slowPress) *ForceCurve {
	pressing := branch(t, fineSteps, false)
	f := &ForceCurve{
		Ambient:      c.Ambient.Pressure,
		RampSeconds:  t.ramp,
		pressingFine: pressing,
	}
	if t.released {
		f.Points = points(t)
	}
	perPedal := float64(c.Pedal.Ratio * c.Pedal.Efficiency)
	cut := beginning(pressing)
	f.CutIn = CutIn{answer.Of(si.Force(cut / perPedal)), answer.Of(si.Force(cut))}
	last := pressing[len(pressing)-1]
	if c.Booster.Kind == sim.BoosterNone {
		return f
	}
	f.Vacuum = answer.Of(c.SourceVacuum())
	if f.noHelp = help(pressing) < worthHelping; f.noHelp {
		return f
	}
	power, runOut, knee, boosted := lines(pressing, cut, float64(c.Booster.Ratio))
	f.RunOutSlope = answer.Of(si.Ratio(runOut.slope))
	if !boosted {
		return f
	}
	f.Knee = Knee{
		Pedal:  answer.Of(si.Force(knee / perPedal)),
		Input:  answer.Of(si.Force(knee)),
		Output: answer.Of(si.Force(runOut.at(knee))),
		Line:   answer.Of(si.Pressure(where(pressing, inputOf, lineOf, knee))),
	}
	at := t.At(t.ramp * si.Time(knee/float64(last.Input)))
	f.kneeVacuum = at.FrontVacuum
	closed := c.Booster.ClosedForm(at.FrontVacuum, at.Hub)
	f.ClosedForm = &closed
	f.Ratio = answer.Of(si.Ratio(power.slope))
	f.JumpIn.Output = answer.Of(si.Force(power.at(cut)))
	if !t.released {
		return f
	}
	level := power.at((cut + knee) / 2)
	releasing := branch(t, fineSteps, true)
	f.Hysteresis = answer.Of(si.Force(where(pressing, outputOf, inputOf, level) - where(releasing, outputOf, inputOf, level)))
	return f
}

// beginning returns the input at which the output first exceeds it, which is
// where the booster comes in: before, the rod may push the hub along as one
// piece. Without any help it is where the output begins.
func beginning(states []sim.State) float64 {
	exceeds := func(s sim.State) float64 {
		if s.Output <= startsAt {
			return -startsAt
		}
		return float64(s.Output - s.Input)
	}
	if at := where(states, exceeds, inputOf, 0); !math.IsNaN(at) {
		return at
	}
	return where(states, outputOf, inputOf, startsAt)
}

// help is the most that the booster adds to the input.
func help(states []sim.State) float64 {
	most := math.Inf(-1)
	for _, s := range states {
		most = max(most, float64(s.Output-s.Input))
	}
	return most
}

// lines fits the power line and the run-out line and returns the input at which
// they cross. Where the vacuum is too low for a power line, the knee is where
// the run-out line begins, at the cut-in, and boosted is false: a line that is not even
// half as much steeper as the boost ratio makes it is the rounded end of the jump-in.
func lines(states []sim.State, cut, ratio float64) (power, runOut straight, knee float64, boosted bool) {
	top := float64(states[len(states)-1].Input)
	knee = bend(states, cut)
	for range 8 {
		from := min(runOutFrom*knee, 0.9*top)
		var ok bool
		if runOut, ok = fit(states, from, top); !ok {
			return power, runOut, knee, false
		}
		low, high := max(powerFrom*knee, cut+afterJump), powerTo*knee
		if high-low < 0.1*knee {
			high = 0.95 * knee
		}
		if high-low < 0.02*knee {
			return power, runOut, cut, false
		}
		if power, ok = fit(states, low, high); !ok || power.slope < max(1.05*runOut.slope, (runOut.slope+ratio)/2) {
			return power, runOut, cut, false
		}
		next := power.crossing(runOut)
		if math.Abs(next-knee) < 1e-6*knee {
			return power, runOut, next, true
		}
		knee = min(max(next, cut), top)
	}
	return power, runOut, knee, true
}

// bend returns the input at which the curve is farthest above the chord to its
// end from where the jump is past: from before it, a large jump would be the
// farthest point of all.
func bend(states []sim.State, cut float64) float64 {
	first := sort.Search(len(states), func(i int) bool { return float64(states[i].Input) >= cut+afterJump })
	if first == len(states) {
		return cut
	}
	from, to := states[first], states[len(states)-1]
	slope := float64(to.Output-from.Output) / float64(to.Input-from.Input)
	best, at := 0.0, float64(from.Input)
	for _, s := range states[first:] {
		if above := float64(s.Output-from.Output) - slope*float64(s.Input-from.Input); above > best {
			best, at = above, float64(s.Input)
		}
	}
	return at
}
