package ode

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

const gravity = 9.81

// falling is height and speed of a body in free fall.
func falling() *problem {
	return &problem{
		pattern: mustPattern(2, [][2]int{{0, 1}}),
		rates:   func(_ float64, y, dy []float64) { dy[0], dy[1] = y[1], -gravity },
		jac:     func(_ float64, _, jac, _ []float64) { jac[0] = 1 },
	}
}

// TestBouncingBall against free fall: bounce k+1 follows bounce k after 2 v/g, v
// being smaller by the restitution each time.
func TestBouncingBall(t *testing.T) {
	const height, restitution, tEnd = 2.0, 0.8, 5.2
	var times []float64
	floor := Guard{
		Name: "floor", Falling: true,
		Value: func(_ float64, y []float64) float64 { return y[0] },
		Hit: func(at float64, y []float64) {
			times = append(times, at)
			y[1] *= -restitution
		},
	}
	s, err := New(falling(), Tolerance{Rel: 1e-8, Abs: constant(2, 1e-8)}, Guards(floor), MaxStep(0.05))
	require.NoError(t, err)
	s.Reset(0, []float64{height, 0})
	var previous []float64
	require.NoError(t, s.Advance(context.Background(), tEnd, func(st *Step) error {
		if len(st.Fired) > 0 {
			assert.InDelta(t, 0, st.Y1[0], 1e-11, "the step ends on the floor")
			assert.Negative(t, st.Y1[1], "and before the bounce")
		} else if previous != nil && len(times) > 0 && st.T0 == times[len(times)-1] {
			assert.Equal(t, -restitution*previous[1], st.Y0[1], "the next starts after it")
		}
		previous = append(previous[:0], st.Y1...)
		return nil
	}))

	at := math.Sqrt(2 * height / gravity)
	speed := gravity * at
	count := 0
	for ; at < tEnd; count++ {
		require.Greater(t, len(times), count)
		assert.InDelta(t, at, times[count], 1e-11, "bounce %d", count+1)
		speed *= restitution
		at += 2 * speed / gravity
	}
	assert.Greater(t, count, 8)
	assert.Len(t, times, count)
	assert.Equal(t, count, s.Stats().Guards)
}

// TestRelay: a body heated by a relay with hysteresis. Between two switchings the
// closed form is an exponential, so the durations are logarithms.
func TestRelay(t *testing.T) {
	const low, high, hot, cold, rate = 0.45, 0.55, 1.2, 0.0, 3.0
	on := true
	goal := func() float64 {
		if on {
			return hot
		}
		return cold
	}
	body := &problem{
		pattern: mustPattern(1, [][2]int{{0, 0}}),
		rates:   func(_ float64, y, dy []float64) { dy[0] = rate * (goal() - y[0]) },
		jac:     func(_ float64, _, jac, _ []float64) { jac[0] = -rate },
	}
	var switched []float64
	flip := func(at float64, _ []float64) { on = !on; switched = append(switched, at) }
	s, err := New(body, Tolerance{Rel: 1e-10, Abs: []float64{1e-10}}, Guards(
		Guard{Name: "high", Rising: true, Value: func(_ float64, y []float64) float64 { return y[0] - high }, Hit: flip},
		Guard{Name: "low", Falling: true, Value: func(_ float64, y []float64) float64 { return y[0] - low }, Hit: flip},
	))
	require.NoError(t, err)
	// Several calls, so that breaks fall between switchings.
	for _, end := range []float64{0.5, 1.7, 3} {
		require.NoError(t, s.Advance(context.Background(), end, nil))
	}
	heatUp := math.Log((hot-low)/(hot-high)) / rate
	coolDown := math.Log((high-cold)/(low-cold)) / rate
	at := math.Log(hot/(hot-high)) / rate
	count := 0
	for ; at < 3; count++ {
		require.Greater(t, len(switched), count)
		assert.InDelta(t, at, switched[count], 1e-8, "switching %d", count+1)
		at += []float64{coolDown, heatUp}[count%2]
	}
	assert.Greater(t, count, 30)
	assert.Len(t, switched, count)
}

// TestGuardTimes: a guard on time itself is hit to rounding, whatever the step, and
// a guard on the state as well as the dense output knows the state.
func TestGuardTimes(t *testing.T) {
	dense := denseError(t, 1e-8)
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.Float64Range(0.01, 1.5).Draw(t, "at")
		byState := rapid.Bool().Draw(t, "by state")
		hit := 0.0
		g := Guard{
			Name: "g", Rising: true,
			Value: func(now float64, y []float64) float64 { return math.Sinh(now - at) },
			Hit:   func(now float64, _ []float64) { hit = now },
		}
		delta := 2e-12
		if byState {
			level := math.Sin(at) + 2
			g.Value = func(_ float64, y []float64) float64 { return y[0] - level }
			delta = 1.01 * dense / math.Cos(at)
		}
		s, err := New(prothero(-3), Tolerance{Rel: 1e-8, Abs: []float64{1e-8}}, Guards(g))
		require.NoError(t, err)
		s.Reset(0, []float64{2})
		require.NoError(t, s.Advance(context.Background(), 1.55, nil))
		assert.InDelta(t, at, hit, delta)
		assert.Equal(t, 1, s.Stats().Guards)
		assert.InDelta(t, math.Sin(1.55)+2, s.State()[0], 1e-6)
	})
}

// denseError is the most by which the dense output of the problem of TestGuardTimes is
// off, at a tolerance.
func denseError(t *testing.T, tolerance float64) float64 {
	s, err := New(prothero(-3), Tolerance{Rel: tolerance, Abs: []float64{tolerance}})
	require.NoError(t, err)
	s.Reset(0, []float64{2})
	worst, y := 0.0, []float64{0}
	require.NoError(t, s.Advance(t.Context(), 1.55, func(step *Step) error {
		for i := range 101 {
			at := step.T0 + float64(i)/100*(step.T1-step.T0)
			step.Eval(at, y)
			worst = max(worst, math.Abs(y[0]-math.Sin(at)-2))
		}
		return nil
	}))
	assert.Less(t, worst, 100*tolerance)
	return worst
}

// still is a state that does not move, for guards on time alone.
func still() *problem {
	return &problem{
		pattern: mustPattern(1, nil),
		rates:   func(_ float64, _, dy []float64) { dy[0] = 0 },
		jac:     func(float64, []float64, []float64, []float64) {},
	}
}

func clock(name string, at float64, log *[]string) Guard {
	return Guard{
		Name: name, Rising: true,
		Value: func(t float64, _ []float64) float64 { return t - at },
		Hit:   func(float64, []float64) { *log = append(*log, name) },
	}
}

func TestGuardsOfOneStepFireInOrderOfTime(t *testing.T) {
	var log []string
	s, err := New(still(), Tolerance{Rel: 1e-3, Abs: []float64{1}}, InitialStep(10), Guards(
		clock("third", 0.9, &log), clock("first", 0.2, &log), clock("second", 0.5, &log),
		clock("together with second", 0.5, &log),
	))
	require.NoError(t, err)
	var ends []float64
	var fired [][]int
	require.NoError(t, s.Advance(context.Background(), 1, func(st *Step) error {
		if len(st.Fired) > 0 {
			ends = append(ends, st.T1)
			fired = append(fired, append([]int(nil), st.Fired...))
		}
		return nil
	}))
	assert.Equal(t, []string{"first", "second", "together with second", "third"}, log)
	assert.InDeltaSlice(t, []float64{0.2, 0.5, 0.9}, ends, 1e-12)
	assert.Equal(t, [][]int{{1}, {2, 3}, {0}}, fired)
	assert.Equal(t, 4, s.Stats().Guards)
}

func TestGuardsCloserThanTheirBracket(t *testing.T) {
	var log []string
	s, err := New(still(), Tolerance{Rel: 1e-3, Abs: []float64{1}}, Guards(
		clock("a", 0.5, &log), clock("b", math.Nextafter(0.5, 1), &log), clock("c", math.Nextafter(0.5, 0), &log),
	))
	require.NoError(t, err)
	require.NoError(t, s.Advance(context.Background(), 1, nil))
	assert.ElementsMatch(t, []string{"a", "b", "c"}, log, "each once")
}

func TestGuardAtTheEnd(t *testing.T) {
	var log []string
	s, err := New(still(), Tolerance{Rel: 1e-3, Abs: []float64{1}}, Guards(clock("end", 1, &log)))
	require.NoError(t, err)
	require.NoError(t, s.Advance(context.Background(), 1, nil))
	assert.Equal(t, []string{"end"}, log)
	require.NoError(t, s.Advance(context.Background(), 2, nil))
	assert.Len(t, log, 1, "not again from zero")
}

func TestGuardThatStaysAtZero(t *testing.T) {
	hits := 0
	ball := Guard{
		Name: "rest", Falling: true, Rising: true,
		Value: func(_ float64, y []float64) float64 { return y[0] },
		Hit:   func(_ float64, y []float64) { hits++; y[0], y[1] = 0, 0 },
	}
	p := falling()
	resting := false
	p.rates = func(_ float64, y, dy []float64) {
		dy[0], dy[1] = y[1], -gravity
		if resting {
			dy[0], dy[1] = 0, 0
		}
	}
	hit := ball.Hit
	ball.Hit = func(at float64, y []float64) { hit(at, y); resting = true }
	s, err := New(p, Tolerance{Rel: 1e-6, Abs: constant(2, 1e-6)}, Guards(ball))
	require.NoError(t, err)
	s.Reset(0, []float64{1, 0})
	require.NoError(t, s.Advance(context.Background(), 10, nil))
	assert.Equal(t, 1, hits)
	assert.Equal(t, []float64{0, 0}, s.State())
	assert.Less(t, s.Stats().Steps, 50)
}

// TestChatter: a ball put back above the floor by less than the clock resolves.
func TestChatter(t *testing.T) {
	p := still()
	p.rates = func(_ float64, _, dy []float64) { dy[0] = -1 }
	s, err := New(p, Tolerance{Rel: 1e-6, Abs: []float64{1e-6}}, Guards(Guard{
		Name: "floor", Falling: true,
		Value: func(_ float64, y []float64) float64 { return y[0] },
		Hit:   func(_ float64, y []float64) { y[0] = 1e-17 },
	}))
	require.NoError(t, err)
	s.Reset(0, []float64{0.3})
	se := stepError(t, s.Advance(context.Background(), 1, nil), ErrChatter)
	assert.Contains(t, se.Reason, `guard "floor"`)
	assert.InDelta(t, 0.3, se.T, 1e-6)
	assert.Equal(t, chatterMost+1, s.Stats().Guards)
}

// TestHitOnlyLands: without Hit the crossing is only stepped to, for a kink.
func TestHitOnlyLands(t *testing.T) {
	// y' = |t - 1/3|
	kink := still()
	kink.rates = func(t float64, _, dy []float64) { dy[0] = math.Abs(t - 1./3) }
	kink.jac = func(t float64, _, _, dfdt []float64) { dfdt[0] = math.Copysign(1, t-1./3) }
	at := 0
	s, err := New(kink, Tolerance{Rel: 0, Abs: []float64{1e-6}}, Guards(Guard{
		Name: "kink", Rising: true,
		Value: func(t float64, _ []float64) float64 { return t - 1./3 },
	}))
	require.NoError(t, err)
	require.NoError(t, s.Advance(context.Background(), 1, func(st *Step) error {
		if len(st.Fired) > 0 {
			at++
			assert.InDelta(t, 1./3, st.T1, 1e-12)
		}
		return nil
	}))
	assert.Equal(t, 1, at)
	// Exact on either side, but for what the step that was cut saw beyond the kink,
	// which the error control bounds.
	assert.InDelta(t, 1./18+4./18, s.State()[0], 1e-6)
}

// TestCutStepKeepsItsCubic: what is left of a step that was cut is the same curve.
func TestCutStepKeepsItsCubic(t *testing.T) {
	whole := func(guards ...Guard) *Solver {
		s, err := New(pair(), Tolerance{Abs: constant(2, 1e6)}, InitialStep(1), Guards(guards...))
		require.NoError(t, err)
		s.Reset(0, pairSolution(0))
		return s
	}
	var full, cut Segment
	require.NoError(t, whole().Advance(context.Background(), 1, func(st *Step) error {
		full = st.Dense()
		return nil
	}))
	var log []string
	require.NoError(t, whole(clock("cut", 0.37, &log)).Advance(context.Background(), 1, func(st *Step) error {
		if st.T0 == 0 {
			cut = st.Dense()
		}
		return nil
	}))
	require.InDelta(t, 0.37, cut.T1, 1e-12)
	require.Equal(t, 1.0, full.T1)
	for _, at := range []float64{0, 0.1, 0.2, 0.3, 0.37} {
		for i := range 2 {
			assert.InDelta(t, full.AtIndex(at, i), cut.AtIndex(at, i), 1e-12, "state %d at %g", i, at)
		}
	}
}

func TestGuardThatIsNotANumber(t *testing.T) {
	s, err := New(still(), Tolerance{Rel: 1e-3, Abs: []float64{1}}, Guards(Guard{
		Name: "broken", Rising: true,
		Value: func(t float64, _ []float64) float64 { return math.Log(0.5-t) - 100 },
	}))
	require.NoError(t, err)
	se := stepError(t, s.Advance(context.Background(), 1, nil), ErrNonFinite)
	assert.Contains(t, se.Reason, `guard "broken"`)
}
