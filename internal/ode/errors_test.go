package ode

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func stepError(t *testing.T, err error, cause error) *StepError {
	t.Helper()
	require.Error(t, err)
	var se *StepError
	require.ErrorAs(t, err, &se)
	require.ErrorIs(t, err, cause)
	assert.NotContains(t, err.Error(), "\n")
	assert.Contains(t, err.Error(), se.Reason)
	return se
}

// blowUp is y' = y^2, infinite at t = 1 from y = 1.
func blowUp() *problem {
	return &problem{
		pattern: mustPattern(1, [][2]int{{0, 0}}),
		rates:   func(_ float64, y, dy []float64) { dy[0] = y[0] * y[0] },
		jac:     func(_ float64, y, jac, _ []float64) { jac[0] = 2 * y[0] },
	}
}

func TestTooSmallStep(t *testing.T) {
	s, err := New(blowUp(), Tolerance{Rel: 1e-6, Abs: []float64{1e-6}}, MinStep(1e-9))
	require.NoError(t, err)
	s.Reset(0, []float64{1})
	se := stepError(t, s.Advance(context.Background(), 2, nil), ErrStepTooSmall)
	assert.InDelta(t, 1, se.T, 1e-4, "where the solution ends")
	assert.Less(t, se.H, 1e-9)
	assert.Equal(t, s.State(), se.Y)
	assert.Equal(t, s.Time(), se.T)
	assert.Contains(t, se.Error(), "step size too small")
}

func TestTooManySteps(t *testing.T) {
	s, err := New(vanDerPol(1e-6), Tolerance{Rel: 1e-8, Abs: constant(2, 1e-8)}, MaxSteps(50))
	require.NoError(t, err)
	s.Reset(0, []float64{2, 0})
	se := stepError(t, s.Advance(context.Background(), 2, nil), ErrTooManySteps)
	stats := s.Stats()
	assert.Equal(t, 50, stats.Steps+stats.Rejected)
	assert.Contains(t, se.Reason, "too many steps")
}

// cliff is a rate that is not a number for y above 1: the solver must creep up to
// it and not step over.
func cliff(rate func(y float64) float64) *problem {
	return &problem{
		pattern: mustPattern(1, [][2]int{{0, 0}}),
		rates:   func(_ float64, y, dy []float64) { dy[0] = rate(y[0]) },
		jac:     func(_ float64, y, jac, _ []float64) { jac[0] = 0 },
	}
}

func TestNonFiniteRates(t *testing.T) {
	s, err := New(cliff(func(y float64) float64 { return 1 + 0*math.Log(1-y) }), Tolerance{Rel: 1e-6, Abs: []float64{1e-6}})
	require.NoError(t, err)
	se := stepError(t, s.Advance(context.Background(), 2, nil), ErrNonFinite)
	assert.InDelta(t, 1, se.T, 1e-9)
	assert.LessOrEqual(t, se.Y[0], 1.0)

	t.Run("only in passing", func(t *testing.T) {
		// The square root of y - 1 is left of its domain for long steps only.
		root := cliff(func(y float64) float64 { return -math.Sqrt(y) })
		root.jac = func(_ float64, y, jac, _ []float64) { jac[0] = -0.5 / math.Sqrt(y[0]) }
		s, err := New(root, Tolerance{Rel: 1e-6, Abs: []float64{1e-6}}, InitialStep(1.9))
		require.NoError(t, err)
		s.Reset(0, []float64{1})
		require.NoError(t, s.Advance(context.Background(), 1.9, nil))
		assert.InDelta(t, 0.05*0.05, s.State()[0], 1e-5, "(1 - t/2)^2")
		assert.Positive(t, s.Stats().Rejected)
	})
	t.Run("at the start", func(t *testing.T) {
		s, err := New(cliff(math.Log), Tolerance{Rel: 1e-6, Abs: []float64{1e-6}})
		require.NoError(t, err)
		se := stepError(t, s.Advance(context.Background(), 2, nil), ErrNonFinite)
		assert.Contains(t, se.Reason, "rate of state 0 is -Inf")
		s.Reset(0, []float64{math.NaN()})
		se = stepError(t, s.Advance(context.Background(), 2, nil), ErrNonFinite)
		assert.Contains(t, se.Reason, "state 0 is NaN")
	})
	t.Run("in the Jacobian", func(t *testing.T) {
		p := blowUp()
		p.jac = func(_ float64, _, jac, _ []float64) { jac[0] = math.Inf(1) }
		s, err := New(p, Tolerance{Rel: 1e-6, Abs: []float64{1e-6}})
		require.NoError(t, err)
		se := stepError(t, s.Advance(context.Background(), 2, nil), ErrNonFinite)
		assert.Contains(t, se.Reason, "Jacobian entry (0, 0) is +Inf")
	})
}

// TestZeroPivot: y' = y with a step of 4 makes the step matrix exactly zero; half
// the step does not.
func TestZeroPivot(t *testing.T) {
	p := &problem{
		pattern: mustPattern(1, [][2]int{{0, 0}}),
		rates:   func(_ float64, y, dy []float64) { dy[0] = y[0] },
		jac:     func(_ float64, _, jac, _ []float64) { jac[0] = 1 },
	}
	s, err := New(p, Tolerance{Rel: 1, Abs: []float64{1e9}}, InitialStep(4))
	require.NoError(t, err)
	s.Reset(0, []float64{1})
	first := 0.0
	require.NoError(t, s.Advance(context.Background(), 100, func(st *Step) error {
		if first == 0 {
			first = st.T1
		}
		return nil
	}))
	assert.Equal(t, 2.0, first)
	assert.Greater(t, s.Stats().Factorizations, s.Stats().Steps)

	// Rates whose pivots vanish at any step: two states with 0 * infinity in effect.
	p = &problem{
		pattern: mustPattern(2, [][2]int{{0, 0}, {0, 1}, {1, 0}, {1, 1}}),
		rates:   func(_ float64, y, dy []float64) { dy[0], dy[1] = 0, 0 },
		jac: func(_ float64, _, jac, _ []float64) {
			jac[0], jac[1], jac[2], jac[3] = 1e200, 1e200, 1e200, 1e200
		},
	}
	s, err = New(p, Tolerance{Rel: 1e-6, Abs: constant(2, 1e-6)})
	require.NoError(t, err)
	se := stepError(t, s.Advance(context.Background(), 1, nil), ErrSingular)
	assert.Contains(t, se.Reason, "singular")
}

func TestContext(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	s, err := New(vanDerPol(1e-6), Tolerance{Rel: 1e-8, Abs: constant(2, 1e-8)})
	require.NoError(t, err)
	s.Reset(0, []float64{2, 0})
	steps := 0
	err = s.Advance(ctx, 2, func(*Step) error {
		if steps++; steps == 100 {
			cancel()
		}
		return nil
	})
	stepError(t, err, context.Canceled)
	assert.LessOrEqual(t, steps, 100+contextEvery)
	require.NoError(t, s.Advance(context.Background(), 2, nil), "and goes on from there")
}

func TestRefusals(t *testing.T) {
	sys := prothero(-1)
	good := Tolerance{Rel: 1e-4, Abs: []float64{1e-4}}
	for name, make := range map[string]func() (*Solver, error){
		"tolerances":    func() (*Solver, error) { return New(sys, Tolerance{Rel: 1e-4}) },
		"zero abs":      func() (*Solver, error) { return New(sys, Tolerance{Rel: 1e-4, Abs: []float64{0}}) },
		"NaN rel":       func() (*Solver, error) { return New(sys, Tolerance{Rel: math.NaN(), Abs: []float64{1}}) },
		"no pattern":    func() (*Solver, error) { return New(&problemWithout{sys}, good) },
		"max step":      func() (*Solver, error) { return New(sys, good, MaxStep(0)) },
		"initial step":  func() (*Solver, error) { return New(sys, good, InitialStep(-1)) },
		"min step":      func() (*Solver, error) { return New(sys, good, MinStep(-1)) },
		"min above max": func() (*Solver, error) { return New(sys, good, MinStep(2), MaxStep(1)) },
		"initial, min":  func() (*Solver, error) { return New(sys, good, MinStep(2), InitialStep(1)) },
		"max steps":     func() (*Solver, error) { return New(sys, good, MaxSteps(0)) },
		"guard value":   func() (*Solver, error) { return New(sys, good, Guards(Guard{Name: "g", Rising: true})) },
		"guard side": func() (*Solver, error) {
			return New(sys, good, Guards(Guard{Name: "g", Value: func(float64, []float64) float64 { return 1 }}))
		},
	} {
		_, err := make()
		assert.Error(t, err, name)
	}
	s, err := New(sys, good)
	require.NoError(t, err)
	s.Reset(1, []float64{2})
	assert.Error(t, s.Advance(context.Background(), 0.5, nil), "backwards")
	assert.Error(t, s.Advance(context.Background(), math.Inf(1), nil))
	assert.Error(t, s.Advance(context.Background(), math.NaN(), nil))
}

type problemWithout struct{ *problem }

func (*problemWithout) Pattern() *Pattern { return nil }

func TestPatternRefusals(t *testing.T) {
	for _, c := range []struct {
		size    int
		entries [][2]int
		want    string
	}{
		{0, nil, "size 0"},
		{2, [][2]int{{0, 2}}, "outside"},
		{2, [][2]int{{-1, 0}}, "outside"},
		{2, [][2]int{{0, 1}, {1, 1}, {0, 1}}, "entries 0 and 2"},
	} {
		_, err := NewPattern(c.size, c.entries)
		assert.ErrorContains(t, err, c.want)
	}
	p := mustPattern(3, [][2]int{{2, 0}, {0, 1}})
	assert.Equal(t, [][2]int{{2, 0}, {0, 1}}, p.Entries())
	assert.Equal(t, 2, p.Len())
	assert.Equal(t, 3, p.Size())
}
