package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"kneepoint/sim/si"
)

// The pressure of a circuit with air in it rises with its volume, without a jump,
// down to where suction has drawn the air out to some times its size.
func TestPressureRisesWithVolumeWhateverTheAir(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := &network{}
		takeUp := rapid.SampledFrom([]float64{0, 0.6e-6, 1.2e-6}).Draw(t, "take-up")
		c := n.newCircuit("front", Circuit{TakeUp: si.Volume(takeUp), Compliance: 0.3e-12},
			rapid.Float64Range(0.1e-6, 10e-6).Draw(t, "air"), rapid.Float64Range(60e3, 101e3).Draw(t, "ambient"))
		v := rapid.Float64Range(-3*c.air, 20e-6).Draw(t, "volume")
		const d = 1e-9
		below, _ := c.pressure(v - d)
		p, slope := c.pressure(v)
		above, _ := c.pressure(v + d)
		assert.True(t, below < p && p < above, "%g %g %g Pa", below, p, above)
		assert.Greater(t, p, -c.ambient)
		// The slope turns within the rounding of the take-up, and with the air.
		assert.InDelta(t, (above-below)/(2*d), slope, 0.03*slope)
		if v == 0 {
			assert.Zero(t, p)
		}
	})
}

// Air is compressed as a gas at one temperature is: at the pressure p above ambient
// it has given up the share p/(p + p_a) of its volume.
func TestAirInACircuitIsCompressed(t *testing.T) {
	n := &network{}
	const air, ambient = 5e-6, 101325.0
	with := n.newCircuit("front", Circuit{TakeUp: 0.6e-6, Compliance: 0.3e-12}, air, ambient)
	without := n.newCircuit("front", Circuit{TakeUp: 0.6e-6, Compliance: 0.3e-12}, 0, ambient)
	for _, v := range []float64{0.1e-6, 1e-6, 3e-6} {
		p, _ := without.pressure(v)
		got, _ := with.pressure(v + air*p/(p+ambient))
		assert.InEpsilon(t, p, got, 1e-6)
	}
}
