package leastsquares

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// straight is a line through scattered points, y = a + b x.
func straight() (x, y []float64, p Problem) {
	rng := rand.New(rand.NewPCG(5, 6))
	for i := range 40 {
		x = append(x, float64(i)/10)
		y = append(y, 3-0.7*x[i]+0.2*rng.NormFloat64())
	}
	return x, y, Problem{
		Start: []float64{0, 0}, Step: 0.01,
		Residuals: func(_ context.Context, u []float64) ([]float64, error) {
			r := make([]float64, len(x))
			for i := range r {
				r[i] = u[0] + u[1]*x[i] - y[i]
			}
			return r, nil
		},
	}
}

// A line is the one that gonum's regression finds; the covariance is that of the
// normal equations by gonum's own inverse.
func TestLineAgreesWithRegression(t *testing.T) {
	t.Parallel()
	x, y, problem := straight()
	fit := solved(t, problem)
	alpha, beta := stat.LinearRegression(x, y, nil, false)
	assert.InDelta(t, alpha, fit.X[0], 1e-9)
	assert.InDelta(t, beta, fit.X[1], 1e-9)
	assert.True(t, fit.Converged)

	design := mat.NewDense(len(x), 2, nil)
	for i := range x {
		design.SetRow(i, []float64{1, x[i]})
	}
	var normal, covariance mat.Dense
	normal.Mul(design.T(), design)
	require.NoError(t, covariance.Inverse(&normal))
	rest := make([]float64, len(x))
	for i := range x {
		rest[i] = y[i] - alpha - beta*x[i]
	}
	variance := floats.Dot(rest, rest) / float64(len(x)-2)
	p := fit.Precision()
	assert.InEpsilon(t, variance, p.Variance, 1e-9)
	assert.Equal(t, len(x)-2, p.Freedom)
	for j := range 2 {
		assert.InEpsilon(t, math.Sqrt(variance*covariance.At(j, j)), p.Error[j], 1e-6)
	}
	assert.InEpsilon(t, covariance.At(0, 1)/math.Sqrt(covariance.At(0, 0)*covariance.At(1, 1)), p.Correlation.At(0, 1), 1e-6)
	// If the other were known: the error of a mean, and of a slope through a fixed point.
	assert.InEpsilon(t, math.Sqrt(variance/float64(len(x))), p.Alone[0], 1e-6)
	assert.InEpsilon(t, math.Sqrt(variance/floats.Dot(x, x)), p.Alone[1], 1e-6)
}

// Where only the sum of two unknowns shows, their errors are infinite, the sum's is
// not, and neither wanders off.
func TestOnlyASumShows(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(7, 8))
	y := make([]float64, 30)
	for i := range y {
		y[i] = 5 + rng.NormFloat64()
	}
	fit := solved(t, Problem{
		Start: []float64{1, 2, 0}, Step: 0.01, Pull: 3,
		Residuals: func(_ context.Context, u []float64) ([]float64, error) {
			r := make([]float64, len(y))
			for i := range r {
				r[i] = u[0] + u[1] - y[i]
			}
			return r, nil
		},
	})
	assert.True(t, fit.Converged)
	assert.InDelta(t, stat.Mean(y, nil), fit.X[0]+fit.X[1], 0.01)
	assert.InDelta(t, fit.X[0]+1, fit.X[1], 1e-3, "the pull shares what is wanted out")
	assert.Zero(t, fit.X[2], "of which the data say nothing stays")
	p := fit.Precision()
	assert.True(t, math.IsInf(p.Error[0], 1) && math.IsInf(p.Error[1], 1) && math.IsInf(p.Error[2], 1))
	assert.InEpsilon(t, math.Sqrt(p.Variance/30), p.Alone[0], 1e-6)
	assert.True(t, math.IsInf(p.Alone[2], 1))
	assert.InDelta(t, math.Sqrt(0.5), math.Abs(p.Directions.At(0, 0)), 1e-6)
}

// A minimum beyond a limit: the unknown ends on it, and the others are the best there.
func TestMinimumBeyondALimit(t *testing.T) {
	t.Parallel()
	x, y, problem := straight()
	problem.Low, problem.High = []float64{-10, -0.3}, []float64{10, 5}
	fit := solved(t, problem)
	assert.Equal(t, -0.3, fit.X[1])
	assert.InDelta(t, stat.Mean(y, nil)+0.3*stat.Mean(x, nil), fit.X[0], 1e-6)
	assert.True(t, fit.Converged)
}

func TestImpossibleAtTheStart(t *testing.T) {
	t.Parallel()
	wrong := errors.New("no such car")
	_, err := Solve(context.Background(), Problem{Start: []float64{1}, Step: 0.1,
		Residuals: func(context.Context, []float64) ([]float64, error) { return nil, wrong }})
	assert.ErrorIs(t, err, wrong)
}

// What is impossible on the way is gone round.
func TestImpossibleOnTheWay(t *testing.T) {
	t.Parallel()
	fit := solved(t, Problem{Start: []float64{0.01}, Step: 1e-4,
		Residuals: func(_ context.Context, u []float64) ([]float64, error) {
			if u[0] > 3 {
				return nil, errors.New("too large")
			}
			return []float64{10 * math.Log(u[0]/2), 0.1, -0.1}, nil
		}})
	assert.InDelta(t, 2, fit.X[0], 1e-4)
}

func TestTooFewReadings(t *testing.T) {
	t.Parallel()
	_, err := Solve(context.Background(), Problem{Start: []float64{1, 1}, Step: 0.1,
		Residuals: func(context.Context, []float64) ([]float64, error) { return []float64{1}, nil }})
	assert.ErrorContains(t, err, "1 readings cannot give 2 unknowns")
}

func TestStopped(t *testing.T) {
	t.Parallel()
	ctx, cancel := context.WithCancel(context.Background())
	_, _, problem := straight()
	inner := problem.Residuals
	calls := 0
	problem.Residuals = func(ctx context.Context, u []float64) ([]float64, error) {
		if calls++; calls == 1 {
			cancel()
		}
		return inner(ctx, u)
	}
	_, err := Solve(ctx, problem)
	assert.ErrorIs(t, err, context.Canceled)
}
