package rootfind

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
		assert.InDelta(t, tau*math.Log(1/0.95), Crossing(0, 10, 1e-3, filling), 1e-6)
	}
	assert.Equal(t, 2.0, Crossing(2, 10, 0.01, func(float64) float64 { return 1 }))
}
