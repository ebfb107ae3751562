package ode

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
)

// pair is a nonlinear, non-autonomous problem with solution (exp(sin t), sin(t) + 2):
// rates that mix both states, time, and terms that vanish on the solution.
func pair() *problem {
	return &problem{
		name:    "pair",
		pattern: mustPattern(2, [][2]int{{1, 1}, {0, 0}, {1, 0}, {0, 1}}),
		rates: func(t float64, y, dy []float64) {
			u, v := math.Exp(math.Sin(t)), math.Sin(t)+2
			dy[0] = y[0]*math.Cos(t) + y[0]*y[0]*(y[1]-v)
			dy[1] = math.Cos(t) + math.Sin(y[0]-u) - 0.1*t*(y[1]*y[1]-v*v)
		},
		jac: func(t float64, y, jac, dfdt []float64) {
			u, v := math.Exp(math.Sin(t)), math.Sin(t)+2
			cos := math.Cos(t)
			jac[0] = -0.2 * t * y[1]
			jac[1] = cos + 2*y[0]*(y[1]-v)
			jac[2] = math.Cos(y[0] - u)
			jac[3] = y[0] * y[0]
			dfdt[0] = -y[0]*math.Sin(t) - y[0]*y[0]*cos
			dfdt[1] = -math.Sin(t) - math.Cos(y[0]-u)*u*cos - 0.1*(y[1]*y[1]-v*v) + 0.2*t*v*cos
		},
	}
}

func pairSolution(t float64) []float64 { return []float64{math.Exp(math.Sin(t)), math.Sin(t) + 2} }

// fixedSteps runs with n equal steps: a tolerance that accepts everything, and the
// step bounded by MaxStep.
func fixedSteps(t *testing.T, sys System, tEnd float64, y0 []float64, n int, sink func(*Step) error) []float64 {
	h := tEnd / float64(n)
	s, err := New(sys, Tolerance{Abs: constant(sys.Size(), 1e6)}, InitialStep(h), MaxStep(h))
	require.NoError(t, err)
	s.Reset(0, y0)
	require.NoError(t, s.Advance(context.Background(), tEnd, sink))
	require.Equal(t, n, s.Stats().Steps)
	return s.State()
}

// slope is that of log error over log step.
func slope(counts []int, errs []float64) float64 {
	var x, y []float64
	for i, n := range counts {
		x = append(x, -math.Log(float64(n)))
		y = append(y, math.Log(errs[i]))
	}
	_, b := stat.LinearRegression(x, y, nil, false)
	return b
}

func distance(a, b []float64) float64 {
	worst := 0.0
	for i := range a {
		worst = max(worst, math.Abs(a[i]-b[i]))
	}
	return worst
}

func TestPairJacobian(t *testing.T) {
	worst, where, err := CheckJacobian(pair(), 0.7, []float64{1.3, 2.9}, []float64{1, 1})
	require.NoError(t, err)
	assert.Less(t, worst, 1e-7, "at %v", where)
}

func TestConvergence(t *testing.T) {
	counts := []int{128, 181, 256, 362, 512, 724, 1024}
	const tEnd = 3.0
	var ends, dense, embedded []float64
	out := make([]float64, 2)
	for _, n := range counts {
		atDense, atStep := 0.0, 0.0
		end := fixedSteps(t, pair(), tEnd, pairSolution(0), n, func(st *Step) error {
			for _, theta := range []float64{0.2, 0.4, 0.6, 0.8} {
				at := st.T0 + theta*(st.T1-st.T0)
				st.Eval(at, out)
				atDense = max(atDense, distance(out, pairSolution(at)))
			}
			// The difference to the embedded solution is k_6, a local error of order 3.
			atStep = max(atStep, distance(st.solver.k6[:len(st.Y0)], []float64{0, 0}))
			return nil
		})
		ends = append(ends, distance(end, pairSolution(tEnd)))
		dense = append(dense, atDense)
		embedded = append(embedded, atStep)
	}
	t.Logf("errors %.2g to %.2g, dense %.2g to %.2g", ends[0], ends[len(ends)-1], dense[0], dense[len(dense)-1])
	t.Logf("orders: end %.2f, dense %.2f, error estimate %.2f", slope(counts, ends), slope(counts, dense), slope(counts, embedded))
	assert.InDelta(t, 4, slope(counts, ends), 0.15, "end of the run: order 4")
	assert.InDelta(t, 4, slope(counts, dense), 0.15, "between steps: order 3 in each, so local error of order 4, as the global one")
	assert.InDelta(t, 4, slope(counts, embedded), 0.15, "embedded method of order 3: local error of order 4")
}

// TestDenseLocalOrder starts one step from the exact solution.
func TestDenseLocalOrder(t *testing.T) {
	counts := []int{64, 91, 128, 181, 256, 362, 512}
	var ends, middles []float64
	out := make([]float64, 2)
	for _, n := range counts {
		h := 1 / float64(n)
		s, err := New(pair(), Tolerance{Abs: constant(2, 1e6)}, InitialStep(h))
		require.NoError(t, err)
		s.Reset(1, pairSolution(1))
		require.NoError(t, s.Advance(context.Background(), 1+h, func(st *Step) error {
			st.Eval(1+h/2, out)
			return nil
		}))
		require.Equal(t, 1, s.Stats().Steps)
		ends = append(ends, distance(s.State(), pairSolution(1+h)))
		middles = append(middles, distance(out, pairSolution(1+h/2)))
	}
	t.Logf("local orders: end %.2f, middle %.2f", slope(counts, ends), slope(counts, middles))
	assert.InDelta(t, 5, slope(counts, ends), 0.15)
	assert.InDelta(t, 4, slope(counts, middles), 0.15)
}

// TestStiffLimit: on Prothero and Robinson's problem the error is worst where step
// and stiffness are of one order, and falls beyond; in the limit of infinite
// stiffness the order is at least that of the method, since it is stiffly accurate.
func TestStiffLimit(t *testing.T) {
	worst := func(lambda float64, n int) float64 {
		most := 0.0
		fixedSteps(t, prothero(lambda), 3, []float64{2}, n, func(st *Step) error {
			most = max(most, math.Abs(st.Y1[0]-(math.Sin(st.T1)+2)))
			return nil
		})
		return most
	}
	mild := worst(-1e2, 64)
	for _, lambda := range []float64{-1e3, -1e4, -1e5, -1e6, -1e8} {
		err := worst(lambda, 64)
		t.Logf("lambda %g: error %.2g", lambda, err)
		assert.Less(t, err, mild)
	}
	counts := []int{16, 32, 64, 128, 256}
	var errs []float64
	for _, n := range counts {
		errs = append(errs, worst(-1e8, n))
	}
	order := slope(counts, errs)
	t.Logf("order at lambda -1e8: %.2f", order)
	assert.Greater(t, order, 3.85)
}

// TestToleranceProportionality: step sizes go with the fourth root of the tolerance,
// the global error with the fourth power of the step sizes.
func TestToleranceProportionality(t *testing.T) {
	var x, y []float64
	for _, rel := range []float64{1e-3, 1e-4, 1e-5, 1e-6, 1e-7, 1e-8, 1e-9} {
		end, _ := run(t, pair(), 0, 3, pairSolution(0), Tolerance{Rel: rel, Abs: constant(2, rel)})
		err := relativeError(end, pairSolution(3))
		t.Logf("Rel %g: error %.2g", rel, err)
		assert.Less(t, err, 20*rel, "Rel %g", rel)
		x, y = append(x, math.Log(rel)), append(y, math.Log(err))
	}
	_, power := stat.LinearRegression(x, y, nil, false)
	t.Logf("error goes with the tolerance to the power %.2f", power)
	assert.InDelta(t, 1, power, 0.15)
}
