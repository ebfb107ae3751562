package study

import (
	"context"

	"gonum.org/v1/gonum/stat"

	"kneepoint/internal/batch"
)

// A judged criterion holds or not, by a room that is not below 0 where it does and goes
// smoothly with the inputs where the car does. An outcome that sums up others has none.
type judged struct {
	holds bool
	room  float64
}

// How far a quadratic is trusted: a criterion is decided by one where its room is more
// than so many times the worst that it was off by, and a number is taken from one that is
// off by less than such a share of how far the number varies.
const (
	trustRoom   = 3.0
	trustNumber = 0.01
	// numberWithin is what that can do to a total-order index: twice the share.
	numberWithin = 0.02
)

// A shortcut answers for cars of the unit cube by quadratics through the simulated ones
// of a few points, and simulates where those are not sure. Its zero value simulates all.
type shortcut struct {
	fits []quadratic
	// trained is how many were simulated for that.
	trained int
}

// leastTraining and mostTraining bound how many cars are simulated to begin with: twice as
// many as a quadratic has coefficients, and none where that would be as dear as all.
const leastTraining, mostTraining = 16, replicates * eachReplicate / 2

// train simulates the cars of its points, each for some values.
func (c *shortcut) train(ctx context.Context, dim int, w Watch, simulate func(ctx context.Context, u []float64) ([]float64, error)) ([][]float64, error) {
	n := max(leastTraining, 2*len(terms(make([]float64, dim))))
	if n > mostTraining {
		return nil, nil
	}
	at := points01(n, dim, replicates+1)
	values, _, err := batch.Gather(ctx, n, w, func(ctx context.Context, i int) ([]float64, error) {
		return simulate(ctx, at.RawRowView(i))
	})
	if err != nil {
		return nil, err
	}
	points := make([][]float64, n)
	for i := range points {
		points[i] = at.RawRowView(i)
	}
	c.fits, c.trained = quadratics(points, values), n
	return values, nil
}

// holds decides the criteria at a point; one whose sums is above 0 holds where so many
// before it do. The last of what it returns says whether that was simulated.
func (c *shortcut) holds(ctx context.Context, u []float64, sums []int, simulate func(ctx context.Context, u []float64) ([]judged, error)) ([]bool, error) {
	out := make([]bool, len(sums)+1)
	sure := c.fits != nil
	for i := 0; i < len(sums) && sure; i++ {
		if n := sums[i]; n > 0 {
			out[i] = true
			for _, before := range out[i-n : i] {
				out[i] = out[i] && before
			}
			continue
		}
		room := c.fits[i].at(u)
		out[i] = room > 0
		sure = max(room, -room) > trustRoom*c.fits[i].worst
	}
	if sure {
		return out, nil
	}
	found, err := simulate(ctx, u)
	for i := range found {
		out[i] = found[i].holds
	}
	out[len(sums)] = true
	return out, err
}

// trainNumber trains for one number, and keeps what it found if that can be trusted.
func (c *shortcut) trainNumber(ctx context.Context, dim int, w Watch, simulate func(ctx context.Context, u []float64) (float64, error)) error {
	values, err := c.train(ctx, dim, w, func(ctx context.Context, u []float64) ([]float64, error) {
		v, err := simulate(ctx, u)
		return []float64{v}, err
	})
	if err != nil || c.fits == nil {
		return err
	}
	all := make([]float64, len(values))
	for i := range all {
		all[i] = values[i][0]
	}
	if c.fits[0].typical > trustNumber*stat.StdDev(all, nil) {
		c.fits = nil
	}
	return nil
}

// number is that of a point.
func (c *shortcut) number(ctx context.Context, u []float64, simulate func(ctx context.Context, u []float64) (float64, error)) (float64, error) {
	if c.fits != nil {
		return c.fits[0].at(u), nil
	}
	return simulate(ctx, u)
}
