package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestRampIsExactOutsideItsCorner(t *testing.T) {
	const w = 0.3
	for _, z := range []float64{-5, -w, w, 0.31, 7} {
		assert.Equal(t, max(0, z), ramp(z, w), "z = %g", z)
	}
	// The corner is rounded upwards, most at its middle.
	for z := -w; z <= w; z += 0.01 {
		over := ramp(z, w) - max(0, z)
		assert.True(t, over >= -1e-15 && over <= w/4+1e-15, "z = %g: %g", z, over)
	}
	assert.InDelta(t, w/4, ramp(0, w), 1e-15)
}

func TestStepGoesFromNothingToAll(t *testing.T) {
	assert.Equal(t, []float64{0, 0, 0.5, 1, 1}, []float64{step(-1), step(0), step(0.5), step(1), step(2)})
	for _, u := range []float64{-1, 0, 1, 2} {
		assert.Zero(t, stepSlope(u))
	}
}

func TestSignIsOddAndBounded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v, w := rapid.Float64Range(-10, 10).Draw(t, "v"), rapid.Float64Range(1e-4, 1).Draw(t, "w")
		assert.Equal(t, -sign(v, w), sign(-v, w))
		assert.LessOrEqual(t, math.Abs(sign(v, w)), 1.0)
		if math.Abs(v) > 10*w {
			assert.InDelta(t, math.Copysign(1, v), sign(v, w), 0.005)
		}
	})
}

// Each slope against a central difference. At the ends of a rounding the second
// derivative jumps, so that a difference across one is off by its width.
func TestSlopesMatchDifferences(t *testing.T) {
	const d = 1e-6
	rapid.Check(t, func(t *rapid.T) {
		z := rapid.Float64Range(-2, 2).Draw(t, "z")
		w := rapid.Float64Range(0.05, 1).Draw(t, "w")
		assert.InDelta(t, (ramp(z+d, w)-ramp(z-d, w))/(2*d), rampSlope(z, w), 2*d/w)
		assert.InDelta(t, (step(z+d)-step(z-d))/(2*d), stepSlope(z), 10*d)
		assert.InDelta(t, (sign(z+d, w)-sign(z-d, w))/(2*d), signSlope(z, w), 1e-6/w)
	})
}

func TestContactSlopesMatchDifferences(t *testing.T) {
	const dz, dv = 1e-10, 1e-6
	rapid.Check(t, func(t *rapid.T) {
		z := rapid.Float64Range(-5e-6, 2e-4).Draw(t, "overlap")
		v := rapid.Float64Range(-1, 1).Draw(t, "closing speed")
		_, byZ, byV := contact(z, v)
		at := func(z, v float64) float64 { f, _, _ := contact(z, v); return f }
		// The fade of the damping bends the force by up to 6 D v/fade² for each m.
		assert.InDelta(t, (at(z+dz, v)-at(z-dz, v))/(2*dz), byZ, 2e-4*contactStiffness)
		assert.InDelta(t, (at(z, v+dv)-at(z, v-dv))/(2*dv), byV, 1e-6*contactDamping)
	})
}
