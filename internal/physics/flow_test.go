package physics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// The worked value of ISO 6358-1 for choked flow (testdata/air.toml, choked_flow).
func TestChokedFlowOfReferenceState(t *testing.T) {
	ref := outside(t).ChokedFlow
	c, p, at, want := ref.Conductance, ref.Pressure, ref.Temperature, ref.Flow
	for _, share := range []float64{0, 0.2, 0.5} {
		assert.InDelta(t, want, MassFlow(c, p, at, share*p, at), 1e-12)
	}
	// In proportion to the pressure, and to the root of the absolute temperature.
	assert.InDelta(t, 2*want, MassFlow(c, 2*p, at, p, at), 1e-12)
	assert.InDelta(t, want/2, MassFlow(c, p, 4*at, 0, at), 1e-12)
}

// The subsonic ellipse of ISO 6358-1 (published text), where the laminar branch
// no longer bends it.
func TestSubsonicFlowFollowsEllipse(t *testing.T) {
	const c, p = 1e-8, 101325.0
	choked := MassFlow(c, p, 293.15, 0, 293.15)
	for r := CriticalRatio; r <= 0.85; r += 0.01 {
		u := (r - CriticalRatio) / (1 - CriticalRatio)
		want := choked * math.Sqrt(1-u*u)
		assert.InEpsilon(t, want, MassFlow(c, p, 293.15, r*p, 293.15), 1e-3, "ratio %.2f", r)
	}
}

// The laminar branch begins about half a kilopascal below ambient: there the flow
// is still nearly the ellipse's, and closer in it is a straight line.
func TestLaminarBranchIsNarrow(t *testing.T) {
	const c, p = 1e-8, 101325.0
	choked := MassFlow(c, p, 293.15, 0, 293.15)
	ellipse := func(drop float64) float64 {
		u := ((p-drop)/p - CriticalRatio) / (1 - CriticalRatio)
		return choked * math.Sqrt(1-u*u)
	}
	at := func(drop float64) float64 { return MassFlow(c, p, 293.15, p-drop, 293.15) }
	assert.InEpsilon(t, ellipse(2e3), at(2e3), 0.03)
	assert.Less(t, at(100), ellipse(100)/1.5)
	assert.InEpsilon(t, 2*at(10), at(20), 0.01)
}

// For an ideal nozzle the choked mass flux is p sqrt(γ/(R T)) (2/(γ+1))^((γ+1)/(2(γ-1)))
// (gas dynamics of any textbook), from which C follows for each unit of area.
func TestNozzleConductanceFollowsFromGas(t *testing.T) {
	const g = Gamma
	flux := math.Sqrt(g/(GasConstant*ReferenceTemperature)) * math.Pow(2/(g+1), (g+1)/(2*(g-1)))
	assert.InEpsilon(t, flux/ReferenceDensity, NozzleConductance, 5e-4)
}

// drawFlow draws the arguments of a flow with pressures from 5 to 150 kPa.
func drawFlow(t *rapid.T) (c, p1, t1, p2, t2 float64) {
	return rapid.Float64Range(1e-12, 1e-7).Draw(t, "conductance"),
		rapid.Float64Range(5e3, 150e3).Draw(t, "p1"), rapid.Float64Range(200, 400).Draw(t, "t1"),
		rapid.Float64Range(5e3, 150e3).Draw(t, "p2"), rapid.Float64Range(200, 400).Draw(t, "t2")
}

func TestFlowReversesWithItsEnds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, p1, t1, p2, t2 := drawFlow(t)
		there, back := MassFlow(c, p1, t1, p2, t2), MassFlow(c, p2, t2, p1, t1)
		if p1 == p2 {
			assert.Zero(t, there)
			return
		}
		assert.Equal(t, there, -back)
		assert.Equal(t, p1 > p2, there > 0)
	})
}

func TestFlowWithAndWithoutSlopesAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, p1, t1, p2, t2 := drawFlow(t)
		p1, p2 = max(p1, p2), min(p1, p2)
		m, _, _, _ := FlowSlopes(p1, t1, ChokedFlow(1, p1, t1), p2)
		assert.InEpsilon(t, 1+MassFlow(c, p1, t1, p2, t2), 1+c*m, 1e-14)
	})
}

func TestFlowGrowsWithUpstreamAndFallsWithDownstreamPressure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, p1, t1, p2, _ := drawFlow(t)
		more := rapid.Float64Range(1, 50e3).Draw(t, "more")
		// One temperature: the flow's direction, and so whose counts, may change.
		base := MassFlow(c, p1, t1, p2, t1)
		assert.GreaterOrEqual(t, MassFlow(c, p1+more, t1, p2, t1), base)
		assert.LessOrEqual(t, MassFlow(c, p1, t1, p2+more, t1), base)
	})
}

// Slopes against central differences. The flow's second derivative jumps where it
// chokes and where it turns round, so those points are kept away from.
func TestFlowSlopesMatchDifferences(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, p1, t1, p2, t2 := drawFlow(t)
		r := min(p1, p2) / max(p1, p2)
		const dp, dt = 0.05, 1e-3
		if math.Abs(r-CriticalRatio) < 1e-5 || math.Abs(p1-p2) < 1 {
			t.Skip("corner")
		}
		p1, p2 = max(p1, p2), min(p1, p2)
		_, fByP1, fByP2, fByT := FlowSlopes(p1, t1, ChokedFlow(1, p1, t1), p2)
		// A slope is compared on the scale of the choked one, and near equal pressures,
		// where it is far steeper and as much more curved, on its own.
		scale := ReferenceDensity * math.Sqrt(ReferenceTemperature/t1)
		byP1 := (MassFlow(1, p1+dp, t1, p2, t2) - MassFlow(1, p1-dp, t1, p2, t2)) / (2 * dp)
		byP2 := (MassFlow(1, p1, t1, p2+dp, t2) - MassFlow(1, p1, t1, p2-dp, t2)) / (2 * dp)
		assert.InDelta(t, byP1, fByP1, 1e-5*max(scale, math.Abs(fByP1)))
		assert.InDelta(t, byP2, fByP2, 1e-5*max(scale, math.Abs(fByP2)))
		byT1 := (MassFlow(1, p1, t1+dt, p2, t2) - MassFlow(1, p1, t1-dt, p2, t2)) / (2 * dt)
		byT2 := (MassFlow(1, p1, t1, p2, t2+dt) - MassFlow(1, p1, t1, p2, t2-dt)) / (2 * dt)
		assert.InDelta(t, byT1, fByT, 1e-6*scale*p1/t1)
		assert.Zero(t, byT2)
	})
}

// A gas's choked flow by its mass and energy is that by its pressure and temperature.
func TestChokedFlowOfMassAndEnergy(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, at := rapid.Float64Range(5e3, 150e3).Draw(t, "p"), rapid.Float64Range(200, 400).Draw(t, "t")
		v := rapid.Float64Range(1e-5, 1e-1).Draw(t, "v")
		got := ChokedFlowOf(p*v/(GasConstant*at), p*v/(Gamma-1), 1/v)
		assert.InEpsilon(t, ChokedFlow(1, p, at), got, 1e-14)
	})
}
