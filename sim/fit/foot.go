package fit

import (
	"context"
	"math"

	"kneepoint/internal/batch"
	"kneepoint/internal/portable"
)

// byFoot is the standard deviation of every reading in the model that comes from what
// the log does not know of the foot: when, between two rows, it began to move, and how
// far its load cell is off. While the pedal moves fast this is more than the gauges'
// own scatter. It is nil without a pedal in a log; of several logs the coarsest counts.
//
// The error of the load cell is that of a single reading: it is the same for all
// readings of one hold, and its mean over the hold is that of their number.
func (f *Fit) byFoot(ctx context.Context, x []float64) ([]float64, error) {
	var early, late, softer, harder []float64
	apart, noise, pressed := 0.0, 0.0, false
	for _, d := range f.logs {
		if l := d.foot; l != nil && d.mostForce >= freePedal && l.Rows > 1 {
			pressed = true
			apart = max(apart, float64(l.Until()-l.From())/float64(l.Rows-1))
			noise = max(noise, d.footScatter)
		}
	}
	if !pressed {
		return nil, nil
	}
	feet := []struct {
		foot
		misses *[]float64
	}{
		{foot{late: -apart / 2}, &early}, {foot{late: apart / 2}, &late},
		{foot{harder: -noise}, &softer}, {foot{harder: noise}, &harder},
	}
	_, err := batch.ForEach(ctx, len(feet), nil, func(ctx context.Context, i int) error {
		p, err := f.play(ctx, x, feet[i].foot)
		if err != nil {
			return err
		}
		*feet[i].misses = f.misses(p)
		return nil
	})
	if err != nil {
		return nil, err
	}
	// A time that is anywhere between two rows.
	even := 1 / math.Sqrt(12)
	out := make([]float64, len(early))
	for i := range out {
		out[i] = portable.Hypot(even*(late[i]-early[i]), (harder[i]-softer[i])/2)
	}
	return out, nil
}
