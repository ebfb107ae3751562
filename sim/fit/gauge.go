package fit

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"kneepoint/sim/si"
)

// A GaugeFit says how well the model meets one gauge, in SI.
type GaugeFit struct {
	// Log names the log, where there are several.
	Log string
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
	// muchMore than the scatter about neighbours is more than a gauge's own.
	muchMore = 1.5
)

// gaugeFit takes down how the model misses one gauge, in SI and over the standard
// deviations.
func (f *Fit) gaugeFit(c int, misses, deviations []float64) GaugeFit {
	gauge, column := f.gaugeOf(c), f.column(c)
	out := GaugeFit{Gauge: column.Header, Log: f.nameOf(f.channels[c].log), Place: string(gauge.kind), Dim: gauge.dim, Noise: column.Noise}
	sum, rows := 0.0, 0.0
	var over []float64
	for i, m := range misses {
		if f.data[i].channel != c || f.left[i] {
			continue
		}
		n := float64(f.pointOf(i).Rows)
		sum += m * m * n
		rows += n
		over = append(over, m/deviations[i])
	}
	out.RMS = math.Sqrt(sum / rows)
	freedom := float64(len(over)) - float64(len(f.unknowns))/float64(len(f.channels))
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

// nameOf names a log where there are several.
func (f *Fit) nameOf(log int) string {
	if log == ofCar || len(f.logs) == 1 {
		return ""
	}
	return f.logs[log].log.Name
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
