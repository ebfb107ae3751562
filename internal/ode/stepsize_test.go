package ode

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestRoughLogarithmAndPower(t *testing.T) {
	for x := 1e-12; x < 1e300; x *= 1.37 {
		assert.InDelta(t, math.Log2(x), roughLog2(x), 2e-4)
	}
	for x := -900.0; x < 900; x += 0.37 {
		assert.InEpsilon(t, math.Exp2(x), roughExp2(x), 2e-4)
	}
	for n := -40; n <= 40; n++ {
		assert.InDelta(t, n, roughLog2(math.Exp2(float64(n))), 0)
		assert.InDelta(t, math.Exp2(float64(n)), roughExp2(float64(n)), 0)
	}
}
