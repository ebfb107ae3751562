package study

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// What is found follows the quantity within a cell, and is the beginning where it is
// there from the beginning.
func TestCrossingIsNoCellsEdge(t *testing.T) {
	t.Parallel()
	for _, tau := range []float64{0.5, 0.5001, 0.5002, 3} {
		filling := func(at float64) float64 { return 0.95 - math.Exp(-at/tau) }
		assert.InDelta(t, tau*math.Log(1/0.95), crossing(0, 10, 1e-3, filling), 1e-6)
	}
	assert.Equal(t, 2.0, crossing(2, 10, 0.01, func(float64) float64 { return 1 }))
}

// A severity at which a fault begins to show lies where the gap is 1, and moves with it.
func TestRangeOfLikenessIsNoCellsEdge(t *testing.T) {
	t.Parallel()
	for _, slope := range []float64{3, 3.001, 4.4} {
		cells := make([]cell, severities)
		for i := range cells {
			s := (float64(i) + 0.5) / severities
			cells[i] = cell{severity: s, fromSound: slope * math.Abs(s-0.5)}
		}
		low, high, found := insideOf(cells, func(c *cell) float64 { return c.fromSound - 1 })
		assert.True(t, found)
		assert.InDelta(t, 0.5-1/slope, low, 1e-9)
		assert.InDelta(t, 0.5+1/slope, high, 1e-9)
	}
}
