package study

import (
	"fmt"
	"math"

	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/si"
)

// words say whether the pump keeps up, and what it gets done.
func (p *PumpDuty) words(c sim.Config, u si.System) []string {
	if p == nil {
		return nil
	}
	before := fmt.Sprintf("there is %s before stop %d", vacuum(p.SteadyVacuum.Value(), u), verdict.TrafficStops)
	traffic := fmt.Sprintf("in traffic, a stop every %s with the engine idling, it runs %s, and %s",
		si.Seconds(verdict.TrafficEvery), runs(float64(p.RunningShare.Value())), before)
	words := "The electric pump keeps up: " + traffic + "."
	if !p.KeepsUp {
		words = fmt.Sprintf("The electric pump cannot keep up: %s, less than the %s that it is there to keep.", traffic, vacuum(max(p.RestVacuum, c.Pump.On), u))
	}
	return []string{words, p.worstWords(c, u), p.fillWords(c, u)}
}

// worstWords say what a stop takes where the pump leaves least.
func (p *PumpDuty) worstWords(c sim.Config, u si.System) string {
	stop := "cannot be had at all"
	if p.Needed.Exists() {
		stop = "takes " + pedal(p.Needed.Value(), u)
	}
	return fmt.Sprintf("Count on the least that it leaves, %s: a stop that takes the vacuum down to there and does not start the pump, or starts it too late, %s with the engine idling.",
		vacuum(p.RestVacuum, u), stop)
}

// runs says which share of the time a pump runs.
func runs(share float64) string {
	switch percent := math.Round(100 * share); {
	case share == 0:
		return "not at all"
	case percent == 0:
		return "less than 1 % of the time"
	default:
		return fmt.Sprintf("%.0f %% of the time", percent)
	}
}

func (p *PumpDuty) fillWords(c sim.Config, u si.System) string {
	on, off := vacuum(c.Pump.On, u), vacuum(c.Pump.Off, u)
	if p.RestVacuum < verdict.BackShare*c.Pump.On {
		return fmt.Sprintf("At rest it gets no further than %s, short of the %s at which it switches on: it never stops.", vacuum(p.RestVacuum, u), on)
	}
	if !p.FirstFill.Exists() {
		return fmt.Sprintf("It never gets to the %s at which it would switch off, or not within %s.", off, si.Seconds(fillMost))
	}
	first := fmt.Sprintf("From no vacuum at all it takes %s to the %s at which it switches off", si.Seconds(p.FirstFill.Value()), off)
	if !p.Refill.Exists() {
		return first + "."
	}
	return first + fmt.Sprintf(", and %s from the %s at which it switches on.", si.Seconds(p.Refill.Value()), on)
}

// keptWords say what counts as back with a pump.
func (p *PumpDuty) keptWords(u si.System) string {
	return fmt.Sprintf("from the least that pump and engine leave at rest, %s at idle, 95 %% of it is back", vacuum(p.RestVacuum, u))
}
