package classic_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/bench/classic"
	"kneepoint/internal/ode"
)

// reference is a problem with an end state found elsewhere.
type reference struct {
	*problem
	y0     []float64
	tEnd   float64
	end    func(y []float64) []float64 // what is compared; nil: the state
	want   []float64
	abs    []float64 // absolute tolerance for Rel = 1
	radau  float64   // relative difference to Radau IIA allowed
	bounds []float64 // relative error allowed at Rel = 1e-4, 1e-6, 1e-8, 1e-10
}

func refer(c *classic.Problem, known classic.Known, radau float64, bounds ...float64) reference {
	return reference{classical(c), c.Start, known.Time, c.Compared, known.Values, c.Scale, radau, bounds}
}

// references are the classic problems whose end values TestAgainstRadau computes by
// another method.
//
// The bounds are three to ten times the errors measured with this solver.
func references() []reference {
	robertson, hires, vanDerPol, oregonator, e5 := classic.Robertson(), classic.HIRES(), classic.VanDerPol(1e-6), classic.Oregonator(), classic.E5()
	refs := []reference{
		refer(robertson, robertson.Known[0], 1e-7, 3e-5, 5e-7, 1e-8, 5e-10),
		refer(robertson, robertson.Known[1], 1e-7, 1e-5, 5e-6, 1e-7, 1e-9),
		refer(hires, hires.End(), 1e-8, 1e-4, 5e-7, 5e-10, 1e-11),
		refer(vanDerPol, vanDerPol.End(), 2e-7, 5e-5, 1e-6, 5e-9, 2e-10),
		refer(oregonator, oregonator.End(), 5e-7, 1e-3, 1e-5, 1e-7, 5e-10),
		refer(e5, e5.End(), 1e-7, 8e-4, 7.5e-4, 7.5e-4, 7.5e-4),
	}
	for i := range robertson.Known {
		refs[i].abs = []float64{1e-6, 1e-10, 1e-6}
	}
	return refs
}

func (ref reference) tolerance(rel float64) ode.Tolerance {
	tol := ode.Tolerance{Rel: rel, Abs: make([]float64, len(ref.abs))}
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
	c := classic.E5()
	s, err := ode.New(classical(c), ode.Tolerance{Rel: 1e-10, Abs: constant(3, 1e-38)})
	require.NoError(t, err)
	s.Reset(0, c.Start)
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
		c := classic.Robertson()
		y, stats := run(t, classical(c), 0, c.End().Time, c.Start, ode.Tolerance{Rel: 1e-6, Abs: []float64{1e-12, 1e-16, 1e-12}})
		assert.InDelta(t, 1, y[0]+y[1]+y[2], eps*float64(stats.Steps))
	})
	t.Run("HIRES", func(t *testing.T) {
		c := classic.HIRES()
		y, stats := run(t, classical(c), 0, c.End().Time, c.Start, ode.Tolerance{Rel: 1e-6, Abs: constant(8, 1e-10)})
		assert.InDelta(t, 0.0057, y[6]+y[7], 0.0057*eps*float64(stats.Steps))
	})
}
