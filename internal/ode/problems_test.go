package ode

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// problem is a System made of functions.
type problem struct {
	name    string
	pattern *Pattern
	rates   func(t float64, y, dy []float64)
	jac     func(t float64, y, jac, dfdt []float64)
}

func (p *problem) Size() int                                  { return p.pattern.Size() }
func (p *problem) Pattern() *Pattern                          { return p.pattern }
func (p *problem) Rates(t float64, y, dy []float64)           { p.rates(t, y, dy) }
func (p *problem) Jacobian(t float64, y, jac, dfdt []float64) { p.jac(t, y, jac, dfdt) }

func mustPattern(size int, entries [][2]int) *Pattern {
	p, err := NewPattern(size, entries)
	if err != nil {
		panic(err)
	}
	return p
}

func constant(n int, v float64) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = v
	}
	return out
}

// run integrates from t0 to t1 and returns the end state.
func run(t testing.TB, sys System, t0, t1 float64, y0 []float64, tol Tolerance, opts ...Option) ([]float64, Stats) {
	t.Helper()
	s, err := New(sys, tol, opts...)
	require.NoError(t, err)
	s.Reset(t0, y0)
	require.NoError(t, s.Advance(context.Background(), t1, nil))
	require.Equal(t, t1, s.Time())
	return s.State(), s.Stats()
}

// vanDerPol is eps*y2' = (1-y1^2)*y2 - y1 with y2 = y1', a relaxation oscillation.
func vanDerPol(eps float64) *problem {
	return &problem{
		name:    "Van der Pol",
		pattern: mustPattern(2, [][2]int{{0, 1}, {1, 0}, {1, 1}}),
		rates: func(_ float64, y, dy []float64) {
			dy[0], dy[1] = y[1], ((1-y[0]*y[0])*y[1]-y[0])/eps
		},
		jac: func(_ float64, y, jac, _ []float64) {
			jac[0], jac[1], jac[2] = 1, (-2*y[0]*y[1]-1)/eps, (1-y[0]*y[0])/eps
		},
	}
}

// prothero is Prothero and Robinson's problem made nonlinear and not autonomous:
// its solution is phi(t) = sin t + 2 from any stiffness.
func prothero(lambda float64) *problem {
	return &problem{
		name:    "Prothero-Robinson",
		pattern: mustPattern(1, [][2]int{{0, 0}}),
		rates: func(t float64, y, dy []float64) {
			phi := math.Sin(t) + 2
			dy[0] = lambda*(y[0]*y[0]-phi*phi) + math.Cos(t)
		},
		jac: func(t float64, y, jac, dfdt []float64) {
			phi := math.Sin(t) + 2
			jac[0] = 2 * lambda * y[0]
			dfdt[0] = -2*lambda*phi*math.Cos(t) - math.Sin(t)
		},
	}
}

func relativeError(got, want []float64) float64 {
	worst := 0.0
	for i := range want {
		worst = max(worst, math.Abs(got[i]-want[i])/math.Abs(want[i]))
	}
	return worst
}
