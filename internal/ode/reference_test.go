package ode

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// reference is a problem with an end state found elsewhere.
type reference struct {
	*problem
	y0     []float64
	tEnd   float64
	end    func(y []float64) []float64 // what is compared; nil: the state
	want   []float64
	abs    []float64 // absolute tolerance for Rel = 1
	bounds []float64 // relative error allowed at Rel = 1e-4, 1e-6, 1e-8, 1e-10
}

// references are the classic stiff problems of Hairer and Wanner, section IV.10, and
// of the Test Set for IVP Solvers (F. Mazzia, C. Magherini, release 2.4). Problems
// and end values: from memory. TestAgainstRadau computes them by another method.
//
// The bounds are three to ten times the errors measured with this solver.
func references() []reference {
	return []reference{
		{
			problem: robertson(), y0: []float64{1, 0, 0}, tEnd: 40,
			want:   []float64{0.7158270687, 9.185534765e-6, 0.2841637457},
			abs:    []float64{1e-6, 1e-10, 1e-6},
			bounds: []float64{3e-5, 5e-7, 1e-8, 5e-10},
		},
		{
			problem: robertson(), y0: []float64{1, 0, 0}, tEnd: 1e11,
			want:   []float64{0.2083340149701255e-7, 0.8333360770334713e-13, 0.9999999791665050},
			abs:    []float64{1e-6, 1e-10, 1e-6},
			bounds: []float64{1e-5, 5e-6, 1e-7, 1e-9},
		},
		{
			problem: hires(), y0: []float64{1, 0, 0, 0, 0, 0, 0, 0.0057}, tEnd: 321.8122,
			want: []float64{
				0.7371312573325668e-3, 0.1442485726316185e-3, 0.5888729740967575e-4, 0.1175651343283149e-2,
				0.2386356198831331e-2, 0.6238968252742796e-2, 0.2849998395185769e-2, 0.2850001604814231e-2,
			},
			abs:    constant(8, 1e-4),
			bounds: []float64{1e-4, 5e-7, 5e-10, 1e-11},
		},
		{
			problem: vanDerPol(1e-6), y0: []float64{2, 0}, tEnd: 2,
			want:   []float64{1.706167732170483, -0.8928097010247975},
			abs:    constant(2, 1),
			bounds: []float64{5e-5, 1e-6, 5e-9, 2e-10},
		},
		{
			problem: orego(), y0: []float64{1, 2, 3}, tEnd: 360,
			want:   []float64{1.000814870318523, 1228.178521549917, 132.0554942846706},
			abs:    constant(3, 1e-2),
			bounds: []float64{1e-3, 1e-5, 1e-7, 5e-10},
		},
		{
			// The reference does not keep y2 = y3 + y4 itself: its second and third
			// species differ by 1.4e-3, so it is known to half of that at best.
			problem: e5(), y0: []float64{1.76e-3, 0, 0}, tEnd: 1e13,
			end:    func(y []float64) []float64 { return []float64{y[1] + y[2], y[1]} },
			want:   []float64{0.8867655517642120e-22, 0.8854814626268838e-22},
			abs:    constant(3, 1e-24),
			bounds: []float64{8e-4, 7.5e-4, 7.5e-4, 7.5e-4},
		},
	}
}

func (ref reference) tolerance(rel float64) Tolerance {
	tol := Tolerance{Rel: rel, Abs: make([]float64, len(ref.abs))}
	for i, a := range ref.abs {
		tol.Abs[i] = rel * a
	}
	return tol
}

func relativeError(got, want []float64) float64 {
	worst := 0.0
	for i := range want {
		worst = max(worst, math.Abs(got[i]-want[i])/math.Abs(want[i]))
	}
	return worst
}

func TestReferences(t *testing.T) {
	for _, ref := range references() {
		t.Run(ref.name, func(t *testing.T) {
			for k, rel := range []float64{1e-4, 1e-6, 1e-8, 1e-10} {
				y, stats := run(t, ref, 0, ref.tEnd, ref.y0, ref.tolerance(rel))
				if ref.end != nil {
					y = ref.end(y)
				}
				err := relativeError(y, ref.want)
				t.Logf("t = %g, Rel %.0e: relative error %.1e, %+v", ref.tEnd, rel, err, stats)
				assert.LessOrEqual(t, err, ref.bounds[k], "t = %g, Rel %g", ref.tEnd, rel)
			}
		})
	}
}

// TestE5LongTime: once the first species is gone, y2 = y3 decays by itself, dy/dt =
// -M C y^2, so that 1/y grows by M C a second. Known in closed form, to any digit.
func TestE5LongTime(t *testing.T) {
	const mc = 1.13e9
	s, err := New(e5(), Tolerance{Rel: 1e-10, Abs: constant(3, 1e-38)})
	require.NoError(t, err)
	s.Reset(0, []float64{1.76e-3, 0, 0})
	require.NoError(t, s.Advance(context.Background(), 1e12, nil))
	before := 1 / s.State()[1]
	require.NoError(t, s.Advance(context.Background(), 1e13, nil))
	assert.InEpsilon(t, before+mc*9e12, 1/s.State()[1], 1e-9)
}

// TestLinearInvariants: a linear combination of the rates that vanishes is kept by
// the method exactly, so in numbers to the rounding of the steps.
func TestLinearInvariants(t *testing.T) {
	eps := math.Nextafter(1, 2) - 1
	t.Run("Robertson", func(t *testing.T) {
		y, stats := run(t, robertson(), 0, 1e11, []float64{1, 0, 0}, Tolerance{Rel: 1e-6, Abs: []float64{1e-12, 1e-16, 1e-12}})
		assert.InDelta(t, 1, y[0]+y[1]+y[2], eps*float64(stats.Steps))
	})
	t.Run("HIRES", func(t *testing.T) {
		y, stats := run(t, hires(), 0, 321.8122, []float64{1, 0, 0, 0, 0, 0, 0, 0.0057}, Tolerance{Rel: 1e-6, Abs: constant(8, 1e-10)})
		assert.InDelta(t, 0.0057, y[6]+y[7], 0.0057*eps*float64(stats.Steps))
	})
}
