package fit

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"kneepoint/sim/si"
)

// A GaugeFit says how well the model meets one gauge, in SI.
type GaugeFit struct {
	// Gauge is its column's header, Place what of the model it was compared with.
	Gauge, Place string
	Dim          si.Dimension
	// RMS is what the model misses the points by, each with the weight of its rows.
	RMS float64
	// Scatter is that of one reading about the model; Noise that about straight lines
	// through its neighbours, which knows nothing of the model.
	Scatter, Noise float64
	// Lag is the correlation of one point's miss with the next one's, Chance how likely
	// noise is to show correlations as large (Ljung and Box).
	Lag, Chance float64
	// Patterned says that the misses are no noise, and Wider by which factor standard
	// errors are too small for that.
	Patterned bool
	Wider     float64
}

const (
	mostLags = 20
	// unlikely is the chance below which misses are called no noise, and matters the
	// factor on the errors from which that is worth a word.
	unlikely = 1e-3
	matters  = 1.2
)

// gaugeFit takes down how the model misses one gauge, in SI and over the standard
// deviations.
func (f *Fit) gaugeFit(g int, misses, over []float64) GaugeFit {
	gauge := f.d.gauges[g]
	column := f.d.log.Columns[gauge.column]
	out := GaugeFit{Gauge: column.Header, Place: string(gauge.kind), Dim: gauge.dim, Noise: column.Noise}
	sum := 0.0
	for i, m := range misses {
		sum += m * m * float64(f.d.log.Points[i].Rows)
	}
	out.RMS = math.Sqrt(sum / float64(f.d.log.Rows))
	freedom := float64(len(misses)) - float64(len(f.unknowns))/float64(len(f.d.gauges))
	out.Scatter = math.Sqrt(sum / max(1, freedom))
	lags := correlations(over)
	out.Lag, out.Chance, out.Wider = math.NaN(), 1, 1
	if len(lags) == 0 || out.Scatter < gauge.least() {
		return out
	}
	out.Lag = lags[0]
	out.Chance = noiseChance(lags, len(over))
	out.Wider = widening(lags, len(over))
	out.Patterned = out.Chance < unlikely && out.Wider > matters
	return out
}

// correlations are those of a series with itself, one step later, two, and so on.
func correlations(series []float64) []float64 {
	n := len(series)
	mean, sum := 0.0, 0.0
	for _, v := range series {
		mean += v / float64(n)
	}
	for _, v := range series {
		sum += (v - mean) * (v - mean)
	}
	if sum == 0 {
		return nil
	}
	var out []float64
	for lag := 1; lag <= min(mostLags, n/4); lag++ {
		c := 0.0
		for i := lag; i < n; i++ {
			c += (series[i] - mean) * (series[i-lag] - mean)
		}
		out = append(out, c/sum)
	}
	return out
}

// noiseChance is the chance that the correlations of n numbers without any are as
// large (Ljung and Box 1978, from memory).
func noiseChance(lags []float64, n int) float64 {
	q := 0.0
	for k, r := range lags {
		q += r * r / float64(n-k-1)
	}
	q *= float64(n) * float64(n+2)
	return distuv.ChiSquared{K: float64(len(lags))}.Survival(q)
}

// widening is the factor by which the error of a mean is larger for the correlations
// of its data, added up as far as they stand out.
func widening(lags []float64, n int) float64 {
	sum := 1.0
	for _, r := range lags {
		if r < 2/math.Sqrt(float64(n)) {
			break
		}
		sum += 2 * r
	}
	return math.Sqrt(sum)
}
