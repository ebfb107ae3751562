package fit

import (
	"context"
	"math"

	"kneepoint/internal/leastsquares"
	"kneepoint/sim/si"
)

// misses are what the model with its gauges shows less the logs, in SI, of all data.
func (f *Fit) misses(p *played) []float64 {
	var out []float64
	for i, d := range f.logs {
		out = append(out, d.read(p.tracks[i], p.habits[i])...)
	}
	for i := range out {
		out[i] -= f.logged(i)
	}
	return out
}

// residuals are the misses of the data that count over their standard deviations.
func (f *Fit) residuals(ctx context.Context, x, deviations []float64) ([]float64, error) {
	misses, err := f.missesOf(ctx, x)
	if err != nil {
		return nil, err
	}
	return f.scaled(misses, deviations), nil
}

func (f *Fit) scaled(misses, deviations []float64) []float64 {
	out := make([]float64, 0, len(misses))
	for i, m := range misses {
		if !f.left[i] {
			out = append(out, m/deviations[i])
		}
	}
	return out
}

// unscaled are the misses of all data, zero where one does not count.
func (f *Fit) unscaled(residuals, deviations []float64) []float64 {
	out := make([]float64, len(f.data))
	k := 0
	for i := range out {
		if !f.left[i] {
			out[i] = residuals[k] * deviations[i]
			k++
		}
	}
	return out
}

// missesOf are those of a car, which may be known from before.
func (f *Fit) missesOf(ctx context.Context, x []float64) ([]float64, error) {
	values := f.values(x)
	if out := f.played.find(values); out != nil {
		return out, nil
	}
	p, err := f.play(ctx, x, foot{})
	if err != nil {
		return nil, err
	}
	out := f.misses(p)
	f.played.keep(values, out)
	return out, nil
}

// deviations are the standard deviations of all data: the gauge's scatter, and what the
// foot's makes of the model.
func (f *Fit) deviations(noise, byFoot []float64) []float64 {
	out := make([]float64, len(f.data))
	for i := range out {
		own := noise[f.data[i].channel]
		variance := own * own / float64(f.pointOf(i).Rows)
		if byFoot != nil {
			variance += byFoot[i] * byFoot[i]
		}
		out[i] = math.Sqrt(variance)
	}
	return out
}

// channelSums are the sums of the squares of residuals, and their numbers, by channel.
func (f *Fit) channelSums(residuals []float64) (sums, counts []float64) {
	sums, counts = make([]float64, len(f.channels)), make([]float64, len(f.channels))
	k := 0
	for i := range f.data {
		if f.left[i] {
			continue
		}
		c := f.data[i].channel
		sums[c] += residuals[k] * residuals[k]
		counts[c]++
		k++
	}
	return sums, counts
}

// weighAnew sets the gauges' scatter to what the best model leaves of each, and
// reports whether that changes how they weigh against each other.
func (f *Fit) weighAnew(best *leastsquares.Fit, noise []float64) bool {
	sums, counts := f.channelSums(best.Residuals)
	changed := false
	for c := range noise {
		share := counts[c] - float64(len(best.X))/float64(len(noise))
		factor := math.Sqrt(sums[c] / max(1, share))
		const little = 0.05
		if math.Abs(factor-1) > little {
			changed = true
		}
		noise[c] = max(noise[c]*factor, f.gaugeOf(c).least())
	}
	return changed
}

// least is finer than any gauge of the kind shows, and what the solver may owe at any
// time: closer than that a model is not smooth.
func (g gauge) least() float64 {
	if g.dim == si.DimPressure {
		return 1000
	}
	return 5
}
