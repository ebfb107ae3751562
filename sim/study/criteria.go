package study

import (
	"fmt"

	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
	"kneepoint/sim/study/answer"
)

// A verdict is how an option does by one criterion. The margin is the room that
// is left as a share of the limit, negative where it fails.
type verdict struct {
	criterion string
	holds     bool
	margin    float64
	// words say what was found, in the units asked for.
	words func(u si.System) string
}

// judge holds an option against every criterion. A manual pedal has no vacuum to
// lose: what it asks of the foot is the same with the engine dead, so the stops
// left and the recharge do not count for it.
func (o *ChooseOption) judge(c scenario.Choose) {
	o.verdicts = []verdict{atMost("pedal force", o.NeededPedal, c.PedalLimit), atMost("pedal travel", o.PedalTravel, c.TravelLimit)}
	if !o.ManualRatio.Exists() {
		o.verdicts = append(o.verdicts,
			stopsLeft(o.AssistedStops, c.StopsLeft),
			atMost("recharge", o.Recharge, c.RechargeLimit))
	}
	o.settle()
}

// settle draws the sum of the verdicts.
func (o *ChooseOption) settle() {
	o.Passes = true
	nearest := o.verdicts[0]
	for _, v := range o.verdicts {
		if !v.holds {
			o.Passes = false
		}
		if v.margin < nearest.margin {
			nearest = v
		}
	}
	o.Nearest, o.Margin = nearest.criterion, answer.Maybe(nearest.margin)
	o.Why = "nearest to failing: " + nearest.words(si.SI)
	if !o.Passes {
		o.Why = o.reasons(si.SI)
	}
}

// atMost is the criterion that a quantity exists and does not pass a limit.
func atMost[T si.Quantity](name string, found answer.Maybe, limit T) verdict {
	dim := limit.Dimension()
	v := verdict{criterion: name, margin: -1}
	if !found.Exists() {
		v.words = func(u si.System) string {
			return fmt.Sprintf("%s: out of reach, at most %s wanted", name, si.FormatFine(dim, float64(limit), u))
		}
		return v
	}
	v.holds = float64(found) <= float64(limit)
	v.margin = max(-1, 1-float64(found)/float64(limit))
	v.words = func(u si.System) string {
		return fmt.Sprintf("%s %s, at most %s wanted", name, si.Format(dim, float64(found), u), si.FormatFine(dim, float64(limit), u))
	}
	return v
}

func stopsLeft(found, wanted int) verdict {
	return verdict{
		criterion: "stops left", holds: found >= wanted,
		margin: float64(found-wanted) / float64(max(1, wanted)),
		words:  func(si.System) string { return fmt.Sprintf("stops left %d, at least %d wanted", found, wanted) },
	}
}
