package fit

import (
	"context"
	"math"

	"kneepoint/internal/leastsquares"
	"kneepoint/sim/si"
)

// misses are what the model with its gauges shows less the log, in SI, by points and
// in each by gauges.
func (f *Fit) misses(p *played) []float64 {
	out := f.d.read(p.track)
	gauges := len(f.d.gauges)
	for i := range out {
		g := f.d.gauges[i%gauges]
		out[i] += p.offsets[g.dim] - f.d.log.Points[i/gauges].Mean(g.column)
	}
	return out
}

// residuals are the misses over the standard deviations of the readings.
func (f *Fit) residuals(ctx context.Context, x, deviations []float64) ([]float64, error) {
	values := f.values(x)
	out := f.played.find(values)
	if out == nil {
		p, err := f.play(ctx, x, foot{})
		if err != nil {
			return nil, err
		}
		out = f.misses(p)
		f.played.keep(values, out)
	}
	scaled := make([]float64, len(out))
	for i := range out {
		scaled[i] = out[i] / deviations[i]
	}
	return scaled, nil
}

// deviations are the standard deviations of all readings at all points: the gauge's
// scatter, and what the foot's makes of the model.
func (f *Fit) deviations(noise, byFoot []float64) []float64 {
	gauges := len(noise)
	out := make([]float64, len(f.d.log.Points)*gauges)
	for i := range out {
		own := noise[i%gauges]
		variance := own * own / float64(f.d.log.Points[i/gauges].Rows)
		if byFoot != nil {
			variance += byFoot[i] * byFoot[i]
		}
		out[i] = math.Sqrt(variance)
	}
	return out
}

// weighAnew sets the gauges' scatter to what the best model leaves of each, and
// reports whether that changes how they weigh against each other.
func (f *Fit) weighAnew(best *leastsquares.Fit, noise []float64) bool {
	gauges := len(noise)
	n := float64(len(best.Residuals) / gauges)
	share := n - float64(len(best.X))/float64(gauges)
	changed := false
	for g := range noise {
		sum := 0.0
		for i := g; i < len(best.Residuals); i += gauges {
			sum += best.Residuals[i] * best.Residuals[i]
		}
		factor := math.Sqrt(sum / max(1, share))
		const little = 0.05
		if math.Abs(factor-1) > little {
			changed = true
		}
		noise[g] = max(noise[g]*factor, f.d.gauges[g].least())
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
