//go:build sundials

package cvode

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestCVODESolvesWhatHasAFormula(t *testing.T) {
	// y' = -1000 (y - cos t) - sin t from y(0) = 2: cos t + exp(-1000 t).
	rhs := func(t float64, y, dy []float64) { dy[0] = -1000*(y[0]-math.Cos(t)) - math.Sin(t) }
	sample := []float64{0, 1e-3, 0.5, 1, math.Nextafter(1, 2), 1.5, 1.5, 3}
	got, stats, err := Integrate(rhs, 0, []float64{2}, []float64{1, 3}, 1e-9, []float64{1e-9}, sample)
	require.NoError(t, err)
	require.Len(t, got, len(sample))
	for i, at := range sample {
		assert.InDelta(t, math.Cos(at)+math.Exp(-1000*at), got[i][0], 3e-7, "t = %g", at)
	}
	assert.Positive(t, stats.Steps)
	assert.Positive(t, stats.Jacobians)
	assert.Greater(t, stats.Rates, stats.Steps)
}

func TestCVODENeverAsksBeyondABreak(t *testing.T) {
	const corner = 0.4
	var seen []float64
	rhs := func(t float64, y, dy []float64) {
		seen = append(seen, t)
		dy[0] = -50 * (y[0] - max(t-corner, 0))
	}
	got, _, err := Integrate(rhs, 0, []float64{1}, []float64{corner, 1}, 1e-8, []float64{1e-10}, []float64{corner, 1})
	require.NoError(t, err)
	assert.InDelta(t, math.Exp(-50*corner), got[0][0], 1e-7)
	// Beyond the corner the solution runs after the ramp, 1/50 behind.
	u := 1 - corner
	want := u - 1.0/50 + (math.Exp(-50*corner)+1.0/50)*math.Exp(-50*u)
	assert.InDelta(t, want, got[1][0], 1e-7)
	landed := slices.Index(seen, corner)
	beyond := slices.IndexFunc(seen, func(at float64) bool { return at > corner })
	require.GreaterOrEqual(t, landed, 0, "no call on the corner")
	assert.Greater(t, beyond, landed, "a step went over the corner")
	assert.LessOrEqual(t, slices.Max(seen), 1.0)
}

func TestCVODERefusesNonsense(t *testing.T) {
	rhs := func(_ float64, _, dy []float64) { dy[0] = 0 }
	one := []float64{1}
	for name, c := range map[string]struct{ y0, breaks, atol, sample []float64 }{
		"no state":          {nil, one, nil, nil},
		"tolerances":        {one, one, []float64{1, 1}, nil},
		"no end":            {one, nil, one, nil},
		"backwards":         {one, []float64{2, 1}, one, nil},
		"twice":             {one, []float64{1, 1}, one, nil},
		"sample too late":   {one, one, one, []float64{2}},
		"sample backwards":  {one, one, one, []float64{0.5, 0.2}},
		"break before zero": {one, []float64{-1}, one, nil},
	} {
		_, _, err := Integrate(rhs, 0, c.y0, c.breaks, 1e-6, c.atol, c.sample)
		assert.Error(t, err, name)
	}
	_, _, err := Integrate(rhs, 0, one, one, 1e-6, []float64{-1}, nil)
	assert.ErrorContains(t, err, "CV_ILL_INPUT")
	notANumber := func(_ float64, _, dy []float64) { dy[0] = math.NaN() }
	_, _, err = Integrate(notANumber, 0, one, one, 1e-6, one, nil)
	assert.Error(t, err)
}
