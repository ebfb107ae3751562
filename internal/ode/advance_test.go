package ode

import (
	"context"
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// ramped is y' = -k (y - u(t)), u piecewise linear through nodes one second apart.
// The mode is the piece that is on.
type ramped struct {
	k     float64
	nodes []float64
	piece int
}

func (r *ramped) Size() int         { return 1 }
func (r *ramped) Pattern() *Pattern { return mustPattern(1, [][2]int{{0, 0}}) }
func (r *ramped) u(t float64) (value, slope float64) {
	slope = r.nodes[r.piece+1] - r.nodes[r.piece]
	return r.nodes[r.piece] + slope*(t-float64(r.piece)), slope
}
func (r *ramped) Rates(t float64, y, dy []float64) {
	u, _ := r.u(t)
	dy[0] = -r.k * (y[0] - u)
}
func (r *ramped) Jacobian(t float64, _, jac, dfdt []float64) {
	_, slope := r.u(t)
	jac[0], dfdt[0] = -r.k, r.k*slope
}

// exact is the closed form at the end of a piece that starts at y.
func (r *ramped) exact(y float64) float64 {
	u, slope := r.u(float64(r.piece))
	lag := slope / r.k
	return u + slope - lag + (y-u+lag)*math.Exp(-r.k)
}

func TestBreaksAreLandedOn(t *testing.T) {
	r := &ramped{k: 7, nodes: []float64{0, 3, 3, -1, -1, 0}}
	s, err := New(r, Tolerance{Rel: 1e-9, Abs: []float64{1e-9}})
	require.NoError(t, err)
	y := 0.0
	for r.piece = range len(r.nodes) - 1 {
		end := float64(r.piece + 1)
		last := float64(r.piece)
		require.NoError(t, s.Advance(context.Background(), end, func(st *Step) error {
			assert.Equal(t, last, st.T0, "steps follow without a gap")
			assert.Greater(t, st.T1, st.T0)
			last = st.T1
			return nil
		}))
		assert.Equal(t, end, last)
		assert.Equal(t, end, s.Time())
		y = r.exact(y)
		assert.InDelta(t, y, s.State()[0], 2e-9)
	}
	assert.Less(t, s.Stats().Rejected, 3*len(r.nodes), "a corner at a break should cost little")
}

func TestBreaksThatAreNotBinaryFractions(t *testing.T) {
	s, err := New(prothero(-3), Tolerance{Rel: 1e-5, Abs: []float64{1e-5}})
	require.NoError(t, err)
	s.Reset(0, []float64{2})
	for i := 1; i <= 300; i++ {
		end := float64(i) * 0.1
		require.NoError(t, s.Advance(context.Background(), end, nil))
		require.Equal(t, end, s.Time())
	}
	assert.InDelta(t, math.Sin(30)+2, s.State()[0], 1e-4)
	assert.NoError(t, s.Advance(context.Background(), s.Time(), nil), "no way to go")
	next := math.Nextafter(s.Time(), math.Inf(1))
	require.NoError(t, s.Advance(context.Background(), next, nil), "the shortest way there is")
	assert.Equal(t, next, s.Time())
}

// TestStepSizeOverBreak: a rest lets the step grow; the first step after the break
// must not carry that over a short pulse.
func TestStepSizeOverBreak(t *testing.T) {
	r := &ramped{k: 1, nodes: []float64{0, 0, 100}}
	s, err := New(r, Tolerance{Rel: 1e-4, Abs: []float64{1e-4}})
	require.NoError(t, err)
	require.NoError(t, s.Advance(context.Background(), 1, nil))
	r.piece = 1
	first := 0.0
	require.NoError(t, s.Advance(context.Background(), 2, func(st *Step) error {
		if first == 0 {
			first = st.T1 - st.T0
		}
		return nil
	}))
	assert.LessOrEqual(t, first, breakShare*(1+1e-12))
	assert.InDelta(t, r.exact(0), s.State()[0], 1e-2)
}

func TestResetKeepsStepUnlessForgotten(t *testing.T) {
	tol := Tolerance{Rel: 1e-6, Abs: []float64{1e-6}}
	firstStep := func(s *Solver) float64 {
		s.Reset(0, []float64{2})
		first := 0.0
		require.NoError(t, s.Advance(context.Background(), 3, func(st *Step) error {
			if first == 0 {
				first = st.T1
			}
			return nil
		}))
		return first
	}
	s, err := New(prothero(-3), tol, InitialStep(1e-5))
	require.NoError(t, err)
	assert.InDelta(t, 1e-5, firstStep(s), 1e-18)
	assert.Greater(t, firstStep(s), 1e-3)
	s.ForgetStep()
	assert.InDelta(t, 1e-5, firstStep(s), 1e-18)
}

func TestStateIsCopiedByReset(t *testing.T) {
	s, err := New(prothero(-3), Tolerance{Rel: 1e-6, Abs: []float64{1e-6}})
	require.NoError(t, err)
	y := []float64{2}
	s.Reset(0, y)
	require.NoError(t, s.Advance(context.Background(), 1, nil))
	assert.Equal(t, 2.0, y[0])
	assert.Panics(t, func() { s.Reset(0, []float64{1, 2}) })
}

func TestStepsAreBounded(t *testing.T) {
	s, err := New(prothero(-3), Tolerance{Rel: 1e-3, Abs: []float64{1e-3}}, MaxStep(0.01))
	require.NoError(t, err)
	s.Reset(0, []float64{2})
	require.NoError(t, s.Advance(context.Background(), 1, func(st *Step) error {
		assert.LessOrEqual(t, st.T1-st.T0, 0.01*(1+2*landing))
		return nil
	}))
}

// TestRunsAreIdentical: two solvers give the same numbers to the last bit.
func TestRunsAreIdentical(t *testing.T) {
	tol := Tolerance{Rel: 1e-6, Abs: constant(2, 1e-6)}
	a, statsA := run(t, vanDerPol(1e-3), 0, 2, []float64{2, 0}, tol)
	b, statsB := run(t, vanDerPol(1e-3), 0, 2, []float64{2, 0}, tol)
	assert.Equal(t, a, b)
	assert.Equal(t, statsA, statsB)
}

func TestSegmentsAndSteps(t *testing.T) {
	s, err := New(pair(), Tolerance{Rel: 1e-7, Abs: constant(2, 1e-7)})
	require.NoError(t, err)
	s.Reset(0, pairSolution(0))
	var kept []Segment
	var middles [][]float64
	require.NoError(t, s.Advance(context.Background(), 2, func(st *Step) error {
		middle := make([]float64, 2)
		st.Eval((st.T0+st.T1)/2, middle)
		middles = append(middles, middle)
		seg := st.Dense()
		kept = append(kept, seg)
		assert.Equal(t, seg, st.DenseInto(make([]float64, 8)))
		ends := make([]float64, 2)
		st.Eval(st.T0, ends)
		assert.Equal(t, st.Y0, ends, "exact at the start")
		st.Eval(st.T1, ends)
		assert.Equal(t, st.Y1, ends, "exact at the end")
		return nil
	}))
	out := make([]float64, 2)
	for i, seg := range kept {
		require.Equal(t, 2, seg.Size())
		at := (seg.T0 + seg.T1) / 2
		seg.At(at, out)
		assert.Equal(t, middles[i], out, "a segment outlives the step")
		assert.Equal(t, out[1], seg.AtIndex(at, 1))
		assert.InDeltaSlice(t, pairSolution(at), out, 1e-6)
	}
}

func TestSinkErrorStopsTheRun(t *testing.T) {
	s, err := New(prothero(-3), Tolerance{Rel: 1e-5, Abs: []float64{1e-5}})
	require.NoError(t, err)
	s.Reset(0, []float64{2})
	stop := errors.New("enough")
	at := 0.0
	err = s.Advance(context.Background(), 3, func(st *Step) error {
		at = st.T1
		if st.T1 > 1 {
			return stop
		}
		return nil
	})
	assert.Same(t, stop, err)
	assert.Equal(t, at, s.Time())
	require.NoError(t, s.Advance(context.Background(), 3, nil), "and goes on from there")
	assert.InDelta(t, math.Sin(3)+2, s.State()[0], 1e-4)
}
