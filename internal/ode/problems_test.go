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

// robertson is Robertson's reaction of three species.
func robertson() *problem {
	return &problem{
		name:    "Robertson",
		pattern: mustPattern(3, [][2]int{{0, 0}, {0, 1}, {0, 2}, {1, 0}, {1, 1}, {1, 2}, {2, 1}}),
		rates: func(_ float64, y, dy []float64) {
			slow, fast, back := 0.04*y[0], 3e7*y[1]*y[1], 1e4*y[1]*y[2]
			dy[0] = back - slow
			dy[1] = slow - back - fast
			dy[2] = fast
		},
		jac: func(_ float64, y, jac, _ []float64) {
			jac[0], jac[1], jac[2] = -0.04, 1e4*y[2], 1e4*y[1]
			jac[3], jac[4], jac[5] = 0.04, -1e4*y[2]-6e7*y[1], -1e4*y[1]
			jac[6] = 6e7 * y[1]
		},
	}
}

// hires is the "high irradiance response" of plant physiology, eight species.
func hires() *problem {
	return &problem{
		name: "HIRES",
		pattern: mustPattern(8, [][2]int{
			{0, 0}, {0, 1}, {0, 2},
			{1, 0}, {1, 1},
			{2, 2}, {2, 3}, {2, 4},
			{3, 1}, {3, 2}, {3, 3},
			{4, 4}, {4, 5}, {4, 6},
			{5, 3}, {5, 4}, {5, 5}, {5, 6}, {5, 7},
			{6, 5}, {6, 6}, {6, 7},
			{7, 5}, {7, 6}, {7, 7},
		}),
		rates: func(_ float64, y, dy []float64) {
			bind := 280 * y[5] * y[7]
			dy[0] = -1.71*y[0] + 0.43*y[1] + 8.32*y[2] + 0.0007
			dy[1] = 1.71*y[0] - 8.75*y[1]
			dy[2] = -10.03*y[2] + 0.43*y[3] + 0.035*y[4]
			dy[3] = 8.32*y[1] + 1.71*y[2] - 1.12*y[3]
			dy[4] = -1.745*y[4] + 0.43*y[5] + 0.43*y[6]
			dy[5] = -bind + 0.69*y[3] + 1.71*y[4] - 0.43*y[5] + 0.69*y[6]
			dy[6] = bind - 1.81*y[6]
			dy[7] = -bind + 1.81*y[6]
		},
		jac: func(_ float64, y, jac, _ []float64) {
			b5, b7 := 280*y[7], 280*y[5]
			copy(jac, []float64{
				-1.71, 0.43, 8.32,
				1.71, -8.75,
				-10.03, 0.43, 0.035,
				8.32, 1.71, -1.12,
				-1.745, 0.43, 0.43,
				0.69, 1.71, -b5 - 0.43, 0.69, -b7,
				b5, -1.81, b7,
				-b5, 1.81, -b7,
			})
		},
	}
}

// vanDerPol is eps*y2' = (1-y1^2)*y2 - y1 with y2 = y1', a relaxation oscillation.
func vanDerPol(eps float64) *problem {
	return &problem{
		name:    "Van der Pol",
		pattern: mustPattern(2, [][2]int{{0, 1}, {1, 0}, {1, 1}}),
		rates: func(_ float64, y, dy []float64) {
			dy[0] = y[1]
			dy[1] = ((1-y[0]*y[0])*y[1] - y[0]) / eps
		},
		jac: func(_ float64, y, jac, _ []float64) {
			jac[0] = 1
			jac[1] = (-2*y[0]*y[1] - 1) / eps
			jac[2] = (1 - y[0]*y[0]) / eps
		},
	}
}

// orego is the Oregonator, Field and Noyes's model of the Belousov-Zhabotinskii reaction.
func orego() *problem {
	const s, q, w = 77.27, 8.375e-6, 0.161
	return &problem{
		name:    "OREGO",
		pattern: mustPattern(3, [][2]int{{0, 0}, {0, 1}, {1, 0}, {1, 1}, {1, 2}, {2, 0}, {2, 2}}),
		rates: func(_ float64, y, dy []float64) {
			dy[0] = s * (y[1] + y[0]*(1-q*y[0]-y[1]))
			dy[1] = (y[2] - (1+y[0])*y[1]) / s
			dy[2] = w * (y[0] - y[2])
		},
		jac: func(_ float64, y, jac, _ []float64) {
			jac[0], jac[1] = s*(1-2*q*y[0]-y[1]), s*(1-y[0])
			jac[2], jac[3], jac[4] = -y[1]/s, -(1+y[0])/s, 1/s
			jac[5], jac[6] = w, -w
		},
	}
}

// e5 is the pyrolysis problem E5, whose species differ by many powers of ten. The
// invariant y2 = y3 + y4 is used to leave out the second species: near the end y2
// and y3 are 1e-22, after more than 1e-10 on the way, and with all four states the
// rounding of any linear solver moves the invariant by more than what is left.
func e5() *problem {
	const a, b, m, c = 7.89e-10, 1.1e7, 1e6, 1.13e3
	return &problem{
		name:    "E5",
		pattern: mustPattern(3, [][2]int{{0, 0}, {0, 1}, {1, 0}, {1, 1}, {1, 2}, {2, 0}, {2, 1}, {2, 2}}),
		rates: func(_ float64, y, dy []float64) {
			p1, p2, p3, p4 := a*y[0], b*y[0]*y[1], m*c*(y[1]+y[2])*y[1], c*y[2]
			dy[0] = -p1 - p2
			dy[1] = p1 - p3 - p2 + p4
			dy[2] = p2 - p4
		},
		jac: func(_ float64, y, jac, _ []float64) {
			jac[0], jac[1] = -a-b*y[1], -b*y[0]
			jac[2] = a - b*y[1]
			jac[3] = -m*c*(2*y[1]+y[2]) - b*y[0]
			jac[4] = -m*c*y[1] + c
			jac[5], jac[6], jac[7] = b*y[1], b*y[0], -c
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
