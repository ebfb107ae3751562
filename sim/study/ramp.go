package study

import (
	"context"

	"kneepoint/internal/precision"
	"kneepoint/sim"
	"kneepoint/sim/si"
)

// slowRamp is the time of a slow press to 500 N, and of the release after it: slow
// enough for the chambers to follow within a few newtons of input.
const slowRamp si.Time = 1200

// rampTo is the time of a slow press to a force. All are pressed at one pace, since
// the air valve's opening, and what friction there is while things move, go with it.
func rampTo(force si.Force) si.Time { return slowRamp * si.Time(max(1, force/leastTop)) }

// slowTolerance is the relative error for each step of a slow press. On the way
// back both seats are shut for long stretches, and so is the check valve: the
// chambers keep what air they have, and with it the error of a long step over a
// corner. At the usual tolerance it comes to half a percent of the line pressure.
const slowTolerance = sim.DefaultTolerance / 100

// A CurvePoint is one point of a force curve.
type CurvePoint struct {
	Pedal     si.Force    `json:"pedal_n"`
	Input     si.Force    `json:"input_n"`
	Output    si.Force    `json:"output_n"`
	Line      si.Pressure `json:"line_pa"`
	Releasing bool        `json:"releasing"`
}

func pointOf(s sim.State, releasing bool) CurvePoint {
	return CurvePoint{s.Pedal, s.Input, s.Output, s.Line, releasing}
}

// A slowPress is the run of a slow press, which takes the time of the ramp, and of the
// release as slow as it if there is one.
type slowPress struct {
	*sim.Trajectory
	ramp     si.Time
	released bool
}

// pressSlowly settles the car with its engine idling, presses to a pedal force
// at the pace of slowRamp and, if asked for, releases.
func pressSlowly(ctx context.Context, c sim.Config, to si.Force, release bool) (*slowPress, error) {
	m, err := precision.New(ctx, c, slowTolerance)
	if err != nil {
		return nil, err
	}
	ramp := rampTo(to)
	until := ramp
	if release {
		until += ramp
	}
	t, err := m.Run(ctx, sim.Schedule{
		Presses: []sim.Press{{Pedal: to, Press: ramp, Release: ramp}},
		Until:   until,
	})
	return &slowPress{t, ramp, release}, err
}

// branch samples one branch of a slow run at n+1 equal steps of pedal force,
// from the free pedal up.
func branch(t *slowPress, n int, releasing bool) []sim.State {
	out := make([]sim.State, 0, n+1)
	for i := range n + 1 {
		at := t.ramp * si.Time(i) / si.Time(n)
		if releasing {
			at = 2*t.ramp - at
		}
		out = append(out, t.At(at))
	}
	return out
}
