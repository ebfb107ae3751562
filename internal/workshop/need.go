package workshop

import (
	"context"

	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// needWithin is how closely a vacuum that is needed is found, in Pa: less than a gauge shows.
const needWithin = 500.0

// NeededVacuum is the vacuum at the booster with which an easy pedal ([verdict.EasyPedal])
// makes the hard stop of this car, the one that locks its first axle; it does not exist where
// no vacuum is enough, and is 0 where none is needed.
func NeededVacuum(ctx context.Context, c sim.Config, s scenario.Reserve) (answer.Optional[si.Vacuum], error) {
	line := verdict.RoadOf(&c).FirstLock().Line
	if !line.Exists() {
		return answer.None[si.Vacuum](), nil
	}
	rig := NewRig(c, s, Gauges{})
	reaches := func(v float64) (bool, error) {
		held, err := rig.held(ctx, Conditions{Pedal: verdict.EasyPedal, Vacuum: si.Vacuum(v)})
		if err != nil {
			return false, err
		}
		return float64(held.State().Line) >= float64(line.Value()), nil
	}
	low, high := 0.0, 0.9*float64(c.Ambient.Pressure)
	for _, end := range []float64{low, high} {
		ok, err := reaches(end)
		switch {
		case err != nil:
			return answer.None[si.Vacuum](), err
		case ok && end == low:
			return answer.Of(si.Vacuum(0)), nil
		case !ok && end == high:
			return answer.None[si.Vacuum](), nil
		}
	}
	for high-low > needWithin {
		middle := (low + high) / 2
		ok, err := reaches(middle)
		if err != nil {
			return answer.None[si.Vacuum](), err
		}
		if ok {
			high = middle
		} else {
			low = middle
		}
	}
	return answer.Of(si.Vacuum(high)), nil
}
