package study

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distmv"
	"gonum.org/v1/gonum/stat/samplemv"

	"kneepoint/internal/batch"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// Quasi-random sampling: scrambled Halton points in replicates that differ only
// in their scrambling, so that the spread of the replicates is the error. The
// seed is fixed: the same question gets the same answer.
const (
	replicates      = 8
	eachReplicate   = 32
	influenceSample = 64
	sampleSeed      = 20261125
)

// points returns n scrambled Halton points in the unit cube of the given
// dimension, those of one replicate.
func points01(n, dim, replicate int) *mat.Dense {
	batch := mat.NewDense(n, dim, nil)
	samplemv.Halton{
		Kind: samplemv.Owen,
		Q:    distmv.NewUnitUniform(dim, nil),
		Src:  rand.NewPCG(sampleSeed, uint64(replicate)),
	}.Sample(batch)
	return batch
}

// estimate is a chance with its standard error over the replicates.
type estimate struct{ mean, err float64 }

// chances evaluates a set of yes-or-no criteria over the unit cube and returns
// the chance of each. The function is called from several goroutines.
func chances(ctx context.Context, dim, criteria int, w Watch, holds func(ctx context.Context, u []float64) ([]bool, error)) ([]estimate, error) {
	if dim == 0 {
		one, err := holds(ctx, nil)
		if err != nil {
			return nil, err
		}
		out := make([]estimate, criteria)
		for c := range out {
			if one[c] {
				out[c].mean = 1
			}
		}
		return out, nil
	}
	batches := make([]*mat.Dense, replicates)
	for r := range batches {
		batches[r] = points01(eachReplicate, dim, r)
	}
	yes, _, err := batch.Gather(ctx, replicates*eachReplicate, w, func(ctx context.Context, i int) ([]bool, error) {
		return holds(ctx, batches[i/eachReplicate].RawRowView(i%eachReplicate))
	})
	if err != nil {
		return nil, err
	}
	out := make([]estimate, criteria)
	for c := range out {
		means := make([]float64, replicates)
		for i := range yes {
			if yes[i][c] {
				means[i/eachReplicate] += 1.0 / eachReplicate
			}
		}
		mean, dev := stat.MeanStdDev(means, nil)
		out[c] = estimate{mean, dev / math.Sqrt(replicates)}
	}
	return out, nil
}

// totalOrder returns the total-order index of each input over the unit cube:
// the share of the variance that would be left if all others were known, by
// Jansen's estimator (Jansen 1999, from memory). The function is called from
// several goroutines. A constant function has no indices: all are NaN.
func totalOrder(ctx context.Context, dim, n int, w Watch, f func(ctx context.Context, u []float64) (float64, error)) ([]float64, error) {
	both := points01(n, 2*dim, replicates)
	values, _, err := batch.Gather(ctx, n*(dim+1), w, func(ctx context.Context, i int) (float64, error) {
		row := both.RawRowView(i / (dim + 1))
		u := append([]float64(nil), row[:dim]...)
		if k := i % (dim + 1); k < dim {
			u[k] = row[dim+k]
		}
		return f(ctx, u)
	})
	if err != nil {
		return nil, err
	}
	base := make([]float64, n)
	for j := range base {
		base[j] = values[j*(dim+1)+dim]
	}
	variance := stat.Variance(base, nil)
	out := make([]float64, dim)
	for k := range out {
		for j := range base {
			d := base[j] - values[j*(dim+1)+k]
			out[k] += d * d / float64(2*n)
		}
		out[k] /= variance
		if variance == 0 {
			out[k] = math.NaN()
		}
	}
	return out, nil
}

// uncertain are the scenario's inputs that have a width.
func uncertain(s *scenario.Scenario) []scenario.Spread {
	var out []scenario.Spread
	for _, spread := range s.Spreads {
		if spread.HalfWidth > 0 {
			out = append(out, spread)
		}
	}
	return out
}

// drawn returns the scenario with its uncertain inputs at a point of the unit
// cube. A tolerance says no more than its bounds, so that every value within is
// taken as equally likely (GUM 4.3.7, from memory).
func drawn(s *scenario.Scenario, inputs []scenario.Spread, u []float64) (*scenario.Scenario, error) {
	if len(inputs) == 0 {
		return s, nil
	}
	set := make([]scenario.Setting, len(inputs))
	for k, in := range inputs {
		set[k] = scenario.SettingIn(in.Path, in.Dim, in.Value+(2*u[k]-1)*in.HalfWidth)
	}
	car, err := s.Edit(set)
	if err != nil {
		return nil, fmt.Errorf("a tolerance leads out of what is possible: %w", err)
	}
	return car, nil
}

// spreadText prints an input with its tolerance.
func spreadText(in scenario.Spread, u si.System) string {
	if in.Estimated {
		return fmt.Sprintf("%s estimated %s (measure it)", in.Path, si.FormatSpan(in.Dim, in.Value-in.HalfWidth, in.Value+in.HalfWidth, u))
	}
	low, high := si.FormatFine(in.Dim, in.Value-in.HalfWidth, u), si.FormatFine(in.Dim, in.Value+in.HalfWidth, u)
	if low == high {
		return fmt.Sprintf("%s within the last digit of %s", in.Path, low)
	}
	return fmt.Sprintf("%s from %s to %s", in.Path, low, high)
}
