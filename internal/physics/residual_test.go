package physics

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"kneepoint/sim/si"
)

// Done by hand from the formulas, so that no unit of theirs slips: a bore of
// 100 mm, a valve of 50 mm that lifts 10 mm, and 40 degrees of overlap give
// 1.45/100 × (107 + 312 + 1600) × 0.05 = 1.4638 °/m. At 1000 rpm, 16.67 rev/s,
// with 0.5 bar in and 1 bar out and 10:1, 1.266 × 1.4638/16.667 × 1.8276 × 0.70711
// = 0.14369 flows back and 0.632/10 × 1.6702 = 0.10556 stays.
func TestResidualFractionByHand(t *testing.T) {
	factor := OverlapFactor(40, 10e-3, 50e-3, 100e-3)
	assert.InDelta(t, 1.4638, factor, 1e-4)
	assert.InDelta(t, 0.14369+0.10556, ResidualFraction(factor, 1000.0/60, 50e3, 100e3, 10), 2e-5)
	assert.InDelta(t, 0.10556, ResidualFraction(0, 1000.0/60, 50e3, 100e3, 10), 1e-5)
	assert.InDelta(t, 0.0632, ResidualFraction(factor, 1000.0/60, 100e3, 100e3, 10), 1e-6, "nothing flows back without a drop")
}

// At 1000 rpm 97 + 15 + 5 kPa, at 3000 rpm 97 + 45 + 45 (from memory).
func TestFrictionPressure(t *testing.T) {
	assert.InDelta(t, 117e3, float64(FrictionPressure(1000.0/60)), 1e-6)
	assert.InDelta(t, 187e3, float64(FrictionPressure(3000.0/60)), 1e-6)
}

// What the trade and the paper agree in: more burned gas stays with more overlap,
// with more vacuum, at a lower speed and with less compression.
func TestResidualFractionGoesTheRightWay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		factor := rapid.Float64Range(0.1, 8).Draw(t, "overlap factor")
		speed := si.Rotation(rapid.Float64Range(8, 30).Draw(t, "speed"))
		intake := si.Pressure(rapid.Float64Range(20e3, 95e3).Draw(t, "intake"))
		ratio := si.Ratio(rapid.Float64Range(6, 14).Draw(t, "compression"))
		of := func(f float64, n si.Rotation, p si.Pressure, r si.Ratio) float64 {
			return ResidualFraction(f, n, p, 101325, r)
		}
		base := of(factor, speed, intake, ratio)
		assert.Positive(t, base)
		if base == 1 {
			return
		}
		assert.Greater(t, of(1.1*factor, speed, intake, ratio), base)
		assert.Less(t, of(factor, 1.1*speed, intake, ratio), base)
		assert.Less(t, of(factor, speed, 1.05*intake, ratio), base)
		assert.Less(t, of(factor, speed, intake, 1.1*ratio), base)
	})
}
