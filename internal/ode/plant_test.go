package ode

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// plantPattern has the shape of a pneumatic servo: two chambers, hose and tank with
// mass and temperature each, two bodies with place and speed, two fluid volumes.
func plantPattern() *Pattern {
	rows := [][]int{
		{0, 1, 2, 3, 4, 6, 8, 9}, {0, 1, 2, 3, 4, 5, 6, 8, 9},
		{0, 1, 2, 3, 4, 6}, {0, 1, 2, 3, 4, 5, 6},
		{5}, {0, 1, 2, 3, 4, 5, 6, 7, 12, 13},
		{7}, {4, 5, 6, 7, 12, 13},
		{0, 1, 8, 9, 10, 11}, {0, 1, 8, 9, 10, 11},
		{8, 9, 10, 11}, {8, 9, 10, 11},
		{4, 12}, {4, 13},
	}
	var entries [][2]int
	for i, cols := range rows {
		for _, j := range cols {
			entries = append(entries, [2]int{i, j})
		}
	}
	return mustPattern(len(rows), entries)
}

func plantMatrix() (p *Pattern, shift float64, jac []float64) {
	p = plantPattern()
	r := rand.New(rand.NewPCG(1, 2))
	jac = make([]float64, p.Len())
	for e, rc := range p.entries {
		jac[e] = r.NormFloat64()
		if rc[0] == rc[1] {
			jac[e] = -30
		}
	}
	return p, 4000, jac
}

// chain is the plant-like system of the benchmarks: smooth, stiff, driven by time.
type chain struct {
	pattern *Pattern
	rows    [][]int // entries of each row, in the pattern's order
	gain    []float64
}

func newChain() *chain {
	p, _, jac := plantMatrix()
	c := &chain{pattern: p, gain: jac, rows: make([][]int, p.size)}
	for e, rc := range p.entries {
		c.rows[rc[0]] = append(c.rows[rc[0]], e)
	}
	return c
}

func (c *chain) Size() int         { return c.pattern.size }
func (c *chain) Pattern() *Pattern { return c.pattern }
func (c *chain) Rates(t float64, y, dy []float64) {
	for i, entries := range c.rows {
		sum := 0.0
		for _, e := range entries {
			sum += c.gain[e] * y[c.pattern.entries[e][1]]
		}
		dy[i] = sum - y[i]*y[i]*y[i] + t
	}
}
func (c *chain) Jacobian(_ float64, y, jac, dfdt []float64) {
	copy(jac, c.gain)
	for i, entries := range c.rows {
		for _, e := range entries {
			if c.pattern.entries[e][1] == i {
				jac[e] -= 3 * y[i] * y[i]
			}
		}
		dfdt[i] = 1
	}
}

func TestNoAllocation(t *testing.T) {
	c := newChain()
	out := make([]float64, c.Size())
	buf := make([]float64, 4*c.Size())
	hits := 0
	guard := Guard{
		Name: "half seconds", Rising: true, Falling: true,
		Value: func(t float64, _ []float64) float64 { return math.Sin(2 * math.Pi * t) },
		Hit:   func(float64, []float64) { hits++ },
	}
	s, err := New(c, Tolerance{Rel: 1e-6, Abs: constant(c.Size(), 1e-6)}, Guards(guard))
	require.NoError(t, err)
	start := constant(c.Size(), 1)
	ctx := context.Background()
	sink := func(st *Step) error {
		st.Eval((st.T0+st.T1)/2, out)
		st.DenseInto(buf)
		return nil
	}
	steps := s.Stats().Steps
	allocs := testing.AllocsPerRun(5, func() {
		s.Reset(0, start)
		if err := s.Advance(ctx, 1, sink); err != nil {
			panic(err)
		}
		if err := s.Advance(ctx, 2.2, sink); err != nil {
			panic(err)
		}
	})
	assert.Zero(t, allocs)
	assert.Greater(t, s.Stats().Steps-steps, 100)
	assert.NotZero(t, hits)
}

// BenchmarkStep gives the time of a step tried, and the same as a multiple of one
// call of the system's rates, six of which a step makes.
func BenchmarkStep(b *testing.B) {
	c := newChain()
	n := c.Size()
	s, err := New(c, Tolerance{Rel: 1e-6, Abs: constant(n, 1e-6)})
	require.NoError(b, err)
	start, rates := constant(n, 1), make([]float64, n)
	var steps, calls time.Duration
	tried := 0
	for b.Loop() {
		before := s.Stats()
		s.Reset(0, start)
		t0 := time.Now()
		if err := s.Advance(context.Background(), 10, nil); err != nil {
			b.Fatal(err)
		}
		t1 := time.Now()
		after := s.Stats()
		count := after.Steps + after.Rejected - before.Steps - before.Rejected
		for range count {
			c.Rates(1, start, rates)
		}
		calls += time.Since(t1)
		steps += t1.Sub(t0)
		tried += count
	}
	b.ReportMetric(float64(steps.Nanoseconds())/float64(tried), "ns/step")
	b.ReportMetric(float64(steps)/float64(calls), "step/rates")
}
