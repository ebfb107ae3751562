package classic_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/bench/classic"
	"kneepoint/internal/ode"
)

// problem is a classic problem as a system of the solver.
type problem struct {
	*classic.Problem
	name    string
	pattern *ode.Pattern
}

func (p *problem) Pattern() *ode.Pattern { return p.pattern }

func classical(c *classic.Problem) *problem {
	pattern, err := ode.NewPattern(c.Size(), c.Entries)
	if err != nil {
		panic(err)
	}
	return &problem{c, c.Name, pattern}
}

func constant(n int, v float64) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = v
	}
	return out
}

// run integrates from t0 to t1 and returns the end state.
func run(t testing.TB, sys ode.System, t0, t1 float64, y0 []float64, tol ode.Tolerance) ([]float64, ode.Stats) {
	t.Helper()
	s, err := ode.New(sys, tol)
	require.NoError(t, err)
	s.Reset(t0, y0)
	require.NoError(t, s.Advance(context.Background(), t1, nil))
	require.Equal(t, t1, s.Time())
	return s.State(), s.Stats()
}

// The Jacobians that are written with the problems are those of their rates.
func TestJacobiansAreThoseOfTheRates(t *testing.T) {
	for _, c := range []struct {
		sys   *problem
		t     float64
		y     []float64
		scale []float64
	}{
		{classical(classic.Robertson()), 0.4, []float64{0.98, 3e-5, 0.02}, []float64{1, 1e-4, 1}},
		{classical(classic.HIRES()), 1, []float64{0.3, 0.1, 0.05, 0.2, 0.1, 0.4, 0.003, 0.0027}, constant(8, 1)},
		{classical(classic.VanDerPol(1e-6)), 0.5, []float64{1.7, -0.9}, []float64{1, 1}},
		{classical(classic.Oregonator()), 10, []float64{1.2, 1200, 130}, []float64{1, 1e3, 1e2}},
		{classical(classic.E5()), 1e3, []float64{1.7e-3, 1e-10, 1e-12}, []float64{1e-3, 1e-10, 1e-12}},
		{classical(classic.Pollution()), 1, constant(20, 0.1), constant(20, 1)},
	} {
		worst, where, err := ode.CheckJacobian(c.sys, c.t, c.y, c.scale)
		require.NoError(t, err, c.sys.name)
		t.Logf("%s: %.1e at %v", c.sys.name, worst, where)
		assert.Less(t, worst, 1e-6, "%s at %v", c.sys.name, where)
	}
}
