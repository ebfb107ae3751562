package ode

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// dense is shift*I - J in full.
func dense(p *Pattern, shift float64, jac []float64) *mat.Dense {
	a := mat.NewDense(p.size, p.size, nil)
	for i := range p.size {
		a.Set(i, i, shift)
	}
	for e, rc := range p.entries {
		a.Set(rc[0], rc[1], a.At(rc[0], rc[1])-jac[e])
	}
	return a
}

// TestStepMatrixAgainstDenseLU compares the sparse decomposition with gonum's
// pivoted dense one on random patterns. The matrices are diagonally dominant, as
// those of a dissipative system at a small enough step are.
func TestStepMatrixAgainstDenseLU(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 20).Draw(t, "n")
		density := rapid.Float64Range(0, 0.5).Draw(t, "density")
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))

		var entries [][2]int
		for i := range n {
			for j := range n {
				if r.Float64() < density {
					entries = append(entries, [2]int{i, j})
				}
			}
		}
		r.Shuffle(len(entries), func(a, b int) { entries[a], entries[b] = entries[b], entries[a] })
		p, err := NewPattern(n, entries)
		require.NoError(t, err)

		jac := make([]float64, p.Len())
		sums := make([]float64, n)
		for e, rc := range p.entries {
			jac[e] = r.NormFloat64() * math.Exp(4*r.NormFloat64())
			sums[rc[0]] += math.Abs(jac[e])
		}
		shift := 1.0
		for e, rc := range p.entries {
			if rc[0] == rc[1] {
				jac[e] = -sums[rc[0]]
			} else {
				shift = max(shift, 1.01*sums[rc[0]])
			}
		}
		m := newStepMatrix(p, nil)
		require.True(t, m.factor(shift, jac))

		b := mat.NewVecDense(n, nil)
		for i := range n {
			b.SetVec(i, r.NormFloat64())
		}
		var want mat.VecDense
		require.NoError(t, want.SolveVec(dense(p, shift, jac), b))
		var got vector
		copy(got[:], b.RawVector().Data)
		m.solve(&got)
		for i := range n {
			assert.InDelta(t, want.AtVec(i), got[i], 1e-12*mat.Norm(&want, math.Inf(1)), "component %d of %d", i, n)
		}
	})
}

func TestEliminationOrderAvoidsFill(t *testing.T) {
	// An arrow with its head first fills completely when eliminated in the order of
	// its numbers, and not at all when the head comes last.
	const n = 12
	var entries [][2]int
	for i := 1; i < n; i++ {
		entries = append(entries, [2]int{0, i}, [2]int{i, 0})
	}
	e := planElimination(mustPattern(n, entries))
	assert.Zero(t, e.fill)
	assert.Equal(t, 3*n-2, e.entries())
	assert.Len(t, e.target, n-1, "one update of the head for each other pivot")

	// A tridiagonal matrix needs none in any order from its ends inwards.
	entries = nil
	for i := 1; i < n; i++ {
		entries = append(entries, [2]int{i - 1, i}, [2]int{i, i - 1})
	}
	assert.Zero(t, planElimination(mustPattern(n, entries)).fill)
}

func TestStepMatrixSingular(t *testing.T) {
	p := mustPattern(2, [][2]int{{0, 0}, {0, 1}, {1, 0}, {1, 1}})
	m := newStepMatrix(p, nil)
	assert.False(t, m.factor(1, []float64{1, 2, 3, 4}), "first pivot is 1 - 1")
	assert.False(t, m.factor(2, []float64{1, 1, 1, 1}), "second pivot is 1 - 1*1")
	assert.False(t, m.factor(2, []float64{1, 1, math.NaN(), 1}))
	assert.False(t, m.factor(2, []float64{math.Inf(1), 1, 1, 1}))
	assert.True(t, m.factor(3, []float64{1, 1, 1, 1}))
}

// BenchmarkStepMatrix decomposes and solves six times, the linear algebra of one
// step, and reports the time of gonum's mat.LU for the same as a multiple; that
// includes the condition estimate mat.LU always makes.
func BenchmarkStepMatrix(b *testing.B) {
	p, shift, jac := plantMatrix()
	n := p.size
	m := newStepMatrix(p, nil)
	given, x := constant(n, 1), new(vector)
	sparse := func() {
		m.factor(shift, jac)
		for range 6 {
			copy(x[:], given)
			m.solve(x)
		}
	}
	a := dense(p, shift, jac)
	right, y := mat.NewVecDense(n, given), mat.NewVecDense(n, nil)
	var lu mat.LU
	full := func() {
		lu.Factorize(a)
		for range 6 {
			_ = lu.SolveVecTo(y, false, right)
		}
	}
	sparse()
	full()
	require.InDeltaSlice(b, y.RawVector().Data, x[:n], 1e-15)
	var here, there time.Duration
	const batch = 100
	for b.Loop() {
		start := time.Now()
		for range batch {
			sparse()
		}
		middle := time.Now()
		for range batch {
			full()
		}
		here += middle.Sub(start)
		there += time.Since(middle)
	}
	b.ReportMetric(float64(there)/float64(here), "gonum/sparse")
	b.ReportMetric(float64(here.Nanoseconds())/float64(b.N*batch), "sparse-ns/step")
}
