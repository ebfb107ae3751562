package diagnose

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

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
