package study

import (
	"fmt"

	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A finding is how an option does by one criterion.
type finding struct {
	criterion string
	holds     bool
	// room is what is left as a share of the limit, negative where it fails; of a count it is
	// that of the hardest of the stops that are wanted.
	room float64
	// words say what was found, in the units asked for.
	words func(u si.System) string
}

// judge holds an option against every criterion. The daily pedal is the one with the
// engine idling; the dead engine is a question of its own, of so many stops at no more
// than a foot can do. A manual pedal has no vacuum to lose: what it asks of the foot is
// the same with the engine dead, so the stops left and the recharge do not count for it.
func (o *ChooseOption) judge(c scenario.Choose) {
	o.findings = o.ofRunStop(c)
	if !o.ManualRatio.Exists() {
		o.findings = append(o.findings,
			stopsLeft(o.DeadStops, o.DeadForce, c),
			backInTime(o.Recharge, c.RechargeLimit))
	}
	if o.Pump {
		o.findings = append(o.findings, trafficForce(o.TrafficPedal, c.PedalLimit), keepsUp(o.Traffic))
	}
	o.settle()
}

// ofRunStop are the findings of the stop with the engine idling.
func (o *ChooseOption) ofRunStop(c scenario.Choose) []finding {
	return []finding{
		atMost("pedal force", o.RunningPedal, c.PedalLimit).because(o.noStop()),
		atMost("pedal travel", o.PedalTravel, c.TravelLimit),
	}
}

// noStop says why the ordinary stop cannot be had; nil where it can.
func (o *ChooseOption) noStop() answer.Phrase {
	if o.Missing == noShortfall {
		return nil
	}
	return func(u si.System) string { return o.Missing.words(o.lock, u) }
}

// settle draws the sum of the findings.
func (o *ChooseOption) settle() {
	o.Passes = true
	nearest := o.findings[0]
	for _, v := range o.findings {
		if !v.holds {
			o.Passes = false
		}
		if v.margin() < nearest.margin() {
			nearest = v
		}
	}
	o.Nearest, o.Margin = nearest.criterion, answer.Of(si.Ratio(nearest.margin()))
	o.Why = "nearest to failing: " + nearest.words(si.SI)
	if !o.Passes {
		o.Why = o.reasons(si.SI)
	}
}

// atMost is the criterion that a quantity exists and does not pass a limit.
func atMost[T si.Quantity](name string, found answer.Optional[T], limit T) finding {
	dim := limit.Dimension()
	v := finding{criterion: name, room: outOfReachRoom}
	if !found.Exists() {
		v.words = func(u si.System) string {
			return fmt.Sprintf("%s: out of reach, at most %s wanted", name, si.Format(dim, float64(limit), u))
		}
		return v
	}
	v.holds = float64(found.Value()) <= float64(limit)
	v.room = 1 - float64(found.Value())/float64(limit)
	v.words = func(u si.System) string {
		has, most := apart(dim, float64(found.Value()), float64(limit), u)
		return fmt.Sprintf("%s %s, at most %s wanted", name, has, most)
	}
	return v
}

// apart prints two values as a gauge shows them, or finer where that would show them
// alike though they are not.
func apart(dim si.Dimension, a, b float64, u si.System) (string, string) {
	first, second := si.Format(dim, a, u), si.Format(dim, b, u)
	if first == second && a != b {
		return si.FormatFine(dim, a, u), si.FormatFine(dim, b, u)
	}
	return first, second
}

// because says why nothing was found, where there is a reason to say.
func (v finding) because(reason answer.Phrase) finding {
	if reason != nil && !v.holds {
		v.words = func(u si.System) string { return v.criterion + ": " + reason(u) }
	}
	return v
}

// outOfReachRoom is the room of what cannot be had at all.
const outOfReachRoom = -10

// margin is the room, of which a lack of more than the whole limit counts as that.
func (v finding) margin() float64 { return max(-1, v.room) }

// stopsLeft is the criterion that so many stops are left with the engine dead; hardest is
// the force of the hardest of those that are wanted.
func stopsLeft(found answer.Optional[float64], hardest answer.Optional[si.Force], c scenario.Choose) finding {
	v := finding{criterion: "stops left", room: outOfReachRoom}
	have := 0
	if found.Exists() {
		have = int(found.Value())
	}
	if c.StopsLeft == 0 {
		v.room = 1
	} else if hardest.Exists() {
		v.room = 1 - float64(hardest.Value())/float64(c.DeadLimit)
	}
	v.holds = found.Exists() && have >= c.StopsLeft
	v.words = func(u si.System) string {
		text := fmt.Sprintf("stops with the engine dead: %d within %s, at least %d wanted", have, pedal(c.DeadLimit, u), c.StopsLeft)
		if v.holds && hardest.Exists() && c.StopsLeft > 0 {
			text += ", which take up to " + pedal(hardest.Value(), u)
		}
		return text
	}
	return v
}
