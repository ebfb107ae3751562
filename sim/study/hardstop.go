package study

import (
	"context"
	"encoding/json"

	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
	"kneepoint/sim/verdict"
)

// A HardStop is what locks the first axle of this car on its road, with the pedal
// force of a slow press that does it. The force does not exist where the brakes are too
// small to lock anything, where the master cylinder's stroke ends before, and beyond
// hardStopPedal.
type HardStop struct {
	verdict.FirstLock
	missing shortfall
}

// MarshalJSON says what limits the stop: the axle that locks, or why it cannot be had.
func (h HardStop) MarshalJSON() ([]byte, error) {
	var by any
	switch {
	case h.missing != noShortfall:
		by = h.missing
	case h.Axle != verdict.NoAxle:
		by = h.Axle
	}
	return json.Marshal(struct {
		Deceleration answer.Maybe `json:"deceleration_mps2"`
		Pedal        answer.Maybe `json:"pedal_n"`
		Line         answer.Maybe `json:"line_pa"`
		LimitedBy    any          `json:"limited_by"`
	}{h.Deceleration, h.Pedal, h.Line, by})
}

// byBrakes is the shortfall of brakes too small to lock any wheel.
const byBrakes shortfall = "brakes"

// hardStopPedal is how far a slow press goes to find a hard stop (estimate: three times
// what the law lets a driver press).
const hardStopPedal si.Force = 1500

// hardStopOf reads the hard stop off a slow press.
func hardStopOf(c sim.Config, pressing []sim.State) HardStop {
	h := HardStop{FirstLock: firstLock(verdict.RoadOf(&c), pressing)}
	switch {
	case !h.Line.Exists():
		h.missing = byBrakes
	case !h.Pedal.Exists() && verdict.Bottomed(&c, pressing[len(pressing)-1]) != verdict.NoAxle,
		h.Pedal.Exists() && verdict.Bottomed(&c, stateAt(pressing, si.Force(h.Pedal))) != verdict.NoAxle:
		h.Pedal, h.missing = answer.None(), byStroke
	case !h.Pedal.Exists():
		h.missing = byForce
	}
	return h
}

// stateAt is the first state of a press at a pedal force or beyond.
func stateAt(pressing []sim.State, f si.Force) sim.State {
	for _, s := range pressing {
		if s.Pedal >= f {
			return s
		}
	}
	return pressing[len(pressing)-1]
}

// findHardStop is the hard stop of a car that was pressed slowly; it presses on where
// that ended before.
func findHardStop(ctx context.Context, c sim.Config, pressing []sim.State) (HardStop, error) {
	h := hardStopOf(c, pressing)
	if h.missing != byForce || pressing[len(pressing)-1].Pedal >= hardStopPedal {
		return h, nil
	}
	t, err := pressSlowly(ctx, c, hardStopPedal)
	if err != nil {
		return h, err
	}
	return hardStopOf(c, branch(t, fineSteps, false)), nil
}
