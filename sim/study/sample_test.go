package study

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The chance that u1 + u2 <= c over the unit square is c²/2 for c <= 1: closed
// form, derived here.
func TestChancesMeetTheClosedForm(t *testing.T) {
	limits := []float64{0.3, 0.7, 1.0}
	found, err := chances(context.Background(), 2, len(limits), nil, func(_ context.Context, u []float64) ([]bool, error) {
		holds := make([]bool, len(limits))
		for i, c := range limits {
			holds[i] = u[0]+u[1] <= c
		}
		return holds, nil
	})
	require.NoError(t, err)
	for i, c := range limits {
		assert.InDelta(t, c*c/2, found[i].mean, 3*found[i].err, "c = %g", c)
		assert.Less(t, found[i].err, 0.02, "c = %g: worse than plain random points would be", c)
		assert.Positive(t, found[i].err)
	}
}

// The stated error must be honest: over many scramblings the chance lies within
// two of it about as often as it should.
func TestStatedErrorIsHonest(t *testing.T) {
	const trials = 200
	within := 0
	for trial := range trials {
		shift := float64(trial) / trials
		found, err := chances(context.Background(), 3, 1, nil, func(_ context.Context, u []float64) ([]bool, error) {
			x := math.Mod(u[0]+shift, 1)
			return []bool{x*u[1]+u[2] <= 0.6}, nil
		})
		require.NoError(t, err)
		// By integration: E over x, y of 0.6 - xy where positive. The rectangle's part
		// with xy > 0.6 takes away nothing more.
		want := 0.6 - 0.25 + tail(0.6)
		if math.Abs(found[0].mean-want) <= 2.36*found[0].err { // Student's t, 7 degrees, 95 %
			within++
		}
	}
	assert.GreaterOrEqual(t, within, trials*85/100)
}

// tail is the integral of xy - a over the part of the unit square with xy > a.
func tail(a float64) float64 {
	const n = 4000
	sum := 0.0
	for i := range n {
		x := (float64(i) + 0.5) / n
		if x > a {
			y0 := a / x
			sum += (x*(1-y0*y0)/2 - a*(1-y0)) / n
		}
	}
	return sum
}

func TestWithoutWidthAChanceIsZeroOrOne(t *testing.T) {
	calls := 0
	found, err := chances(context.Background(), 0, 2, nil, func(context.Context, []float64) ([]bool, error) {
		calls++
		return []bool{true, false}, nil
	})
	require.NoError(t, err)
	assert.Equal(t, []estimate{{1, 0}, {0, 0}}, found)
	assert.Equal(t, 1, calls)
}

// Total-order indices of the Ishigami function with a = 7, b = 0.1: 0.5576,
// 0.4424, 0.2437 (Saltelli et al., Sensitivity Analysis; secondary copy of the
// closed form, evaluated here).
func TestTotalOrderMeetsIshigami(t *testing.T) {
	const a, b = 7.0, 0.1
	pi := math.Pi
	found, err := totalOrder(context.Background(), 3, 4096, nil, func(_ context.Context, u []float64) (float64, error) {
		x := func(i int) float64 { return pi * (2*u[i] - 1) }
		s := math.Sin(x(1))
		return math.Sin(x(0)) + a*s*s + b*math.Pow(x(2), 4)*math.Sin(x(0)), nil
	})
	require.NoError(t, err)
	v1 := 0.5 * math.Pow(1+b*math.Pow(pi, 4)/5, 2)
	v2 := a * a / 8
	v13 := b * b * math.Pow(pi, 8) * (1.0/18 - 1.0/50)
	total := v1 + v2 + v13
	for i, want := range []float64{(v1 + v13) / total, v2 / total, v13 / total} {
		assert.InDelta(t, want, found[i], 0.02, "input %d", i)
	}
}

func TestTotalOrderOfAConstantIsNone(t *testing.T) {
	found, err := totalOrder(context.Background(), 2, 16, nil, func(context.Context, []float64) (float64, error) { return 3, nil })
	require.NoError(t, err)
	for _, v := range found {
		assert.True(t, math.IsNaN(v))
	}
}
