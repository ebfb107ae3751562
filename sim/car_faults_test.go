package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/si"
)

// pressed is a typical car with faults, settled, pressed with a force for a while after
// a ramp of 0.3 s, with its trajectory.
func pressed(t *testing.T, force si.Force, hold si.Time, change func(*Config), faults ...Fault) *Trajectory {
	t.Helper()
	c := Typical()
	if change != nil {
		change(&c)
	}
	c.Faults = faults
	m, err := New(c)
	require.NoError(t, err)
	s := m.Start()
	require.NoError(t, s.Settle(t.Context(), EngineIdle))
	s.Record()
	s.Plan(Press{At: 1, Pedal: force, Press: 0.3, Hold: hold, Release: 0.3})
	require.NoError(t, s.AdvanceTo(t.Context(), 1.3+hold+60))
	return s.Trajectory()
}

// sinking is the rate at which the pedal goes down in a hold, in m/s.
func sinking(run *Trajectory, from, to si.Time) float64 {
	return float64(run.At(to).PedalTravel-run.At(from).PedalTravel) / float64(to-from)
}

// A passing seal lets the pedal sink by what flows past it over the bore's area, times
// the pedal's ratio; a sound one stands still.
func TestSeepSinksThePedal(t *testing.T) {
	for _, name := range []FaultName{FaultMasterBypass, FaultOutsideLeak} {
		for _, severity := range []si.Ratio{0.5, 0.8} {
			run := pressed(t, 60, 8, nil, Fault{Name: name, Severity: severity})
			c := Typical()
			line := float64(run.At(6).LineFront)
			gap := worstSeep * (math.Pow(seepSpan, float64(severity)) - 1) / (seepSpan - 1)
			// The floating piston follows the other half, which loses nothing.
			want := gap * line / boreArea(float64(c.Master.Bore)) * float64(c.Pedal.Ratio)
			assert.InEpsilon(t, want, sinking(run, 4, 8), 0.03, "%s %g", name, float64(severity))
			// The reservoir gives it back once the pedal is let go.
			assert.InDelta(t, 0, float64(run.At(69).LineFront), 0.03e6)
			assert.InDelta(t, 0, float64(run.At(69).PedalTravel), 1e-3)
		}
	}
	assert.Less(t, sinking(pressed(t, 60, 8, nil), 4, 8), 2e-5)
}

// A hose that has closed inside holds pressure after the release, and lets it go in the
// time constant of its resistance and the circuit's compliance.
func TestHoseClosedInsideHoldsPressure(t *testing.T) {
	run := pressed(t, 150, 8, nil, Fault{Name: FaultHoseBlocked, Severity: 0.9})
	sound := pressed(t, 150, 8, nil)
	assert.InEpsilon(t, float64(sound.At(9).LineFront), float64(run.At(9).LineFront), 0.05)
	assert.InDelta(t, 0, float64(sound.At(12).LineFront), 0.03e6)
	c := Typical()
	tau := lineResistance * math.Pow(worstOneWay, 0.9) * float64(c.Front.Compliance)
	first, second := float64(run.At(15).LineFront), float64(run.At(25).LineFront)
	require.Greater(t, first, 1e6)
	assert.InEpsilon(t, math.Exp(-10/tau), second/first, 0.02)
	assert.InDelta(t, 0, float64(run.At(12).LineRear), 0.05e6, "the other axle lets go")
}

// A line that is nearly closed keeps its axle from braking for a while; the pedal is
// higher and the other axle does the work.
func TestBlockedLineLeavesAnAxleOut(t *testing.T) {
	run, sound := pressed(t, 100, 3, nil, Fault{Name: FaultLineBlocked, Severity: 1}), pressed(t, 100, 3, nil)
	assert.Less(t, float64(run.At(4).LineFront), 0.1*float64(sound.At(4).LineFront))
	assert.Less(t, float64(run.At(4).PedalTravel), 0.8*float64(sound.At(4).PedalTravel))
	assert.Less(t, float64(run.At(4).Deceleration), 0.6*float64(sound.At(4).Deceleration))
}

// Lost travel goes through the bore and the pedal's ratio: shoes out of adjustment by
// their fluid, a short pushrod by its gap.
func TestLostTravel(t *testing.T) {
	c := Typical()
	sound := float64(pressed(t, 100, 3, nil).At(4).PedalTravel)
	shoes := float64(pressed(t, 100, 3, nil, Fault{Name: FaultShoesOutOfAdjustment, Severity: 0.5}).At(4).PedalTravel)
	assert.InEpsilon(t, worstAdjustment*0.5/boreArea(float64(c.Master.Bore))*float64(c.Pedal.Ratio), shoes-sound, 0.03)
	rod := float64(pressed(t, 100, 3, nil, Fault{Name: FaultPushrodTooShort, Severity: 0.5}).At(4).PedalTravel)
	assert.InEpsilon(t, worstShortRod*0.5*float64(c.Pedal.Ratio), rod-sound, 0.03)
	bulge := pressed(t, 100, 3, nil, Fault{Name: FaultHoseSwollen, Severity: 1})
	more := worstBulge * float64(bulge.At(4).LineFront) / boreArea(float64(c.Master.Bore)) * float64(c.Pedal.Ratio)
	assert.InEpsilon(t, more, float64(bulge.At(4).PedalTravel)-sound, 0.05)
}

// A covered return port leaves pressure with the pedal free, as much as it is set to.
func TestCoveredPortKeepsPressure(t *testing.T) {
	run := pressed(t, 100, 3, nil, Fault{Name: FaultReturnPortCovered, Severity: 0.5})
	assert.InEpsilon(t, worstTrapped*0.5, float64(run.At(0.5).LineFront), 0.1)
	assert.InEpsilon(t, worstTrapped*0.5, float64(run.At(60).LineFront), 0.1)
	assert.Positive(t, float64(run.At(60).Deceleration))
}

// What the wheels' faults take away is their share of the braking, at the same pressure.
func TestWheelFaultsTakeBraking(t *testing.T) {
	drive := func(faults ...Fault) State {
		return pressed(t, 60, 3, func(c *Config) { c.Car.RearBrake.Kind = BrakeDisc }, faults...).At(4)
	}
	sound := drive()
	glazed := drive(Fault{Name: FaultLiningsGlazed, Severity: 0.5})
	assert.InEpsilon(t, float64(sound.LineFront), float64(glazed.LineFront), 0.01)
	assert.InEpsilon(t, 1-worstGlaze*0.5, float64(glazed.Deceleration/sound.Deceleration), 0.01)
	seized := drive(Fault{Name: FaultCaliperSeized, Severity: 1})
	assert.Less(t, float64(seized.Deceleration), 0.7*float64(sound.Deceleration))
}

// Boiled fluid and a bulging hose soften the pedal; a dry pivot takes its share of the
// foot; a check valve stuck shut never lets the booster fill.
func TestSoftBoundAndShut(t *testing.T) {
	sound := pressed(t, 100, 3, nil).At(4)
	boiled := pressed(t, 100, 3, nil, Fault{Name: FaultFluidBoiled, Severity: 1}).At(4)
	assert.Greater(t, float64(boiled.PedalTravel), 1.2*float64(sound.PedalTravel))
	bound := pressed(t, 100, 3, nil, Fault{Name: FaultPedalBinds, Severity: 0.5}).At(4)
	assert.InEpsilon(t, (1-worstBinding*0.5)*float64(sound.Input), float64(bound.Input), 0.01)
	stuck := pressed(t, 100, 3, nil, Fault{Name: FaultCheckValveStuck, Severity: 1})
	assert.InDelta(t, 0, float64(stuck.At(0.5).FrontVacuum), 200)
	half := pressed(t, 100, 3, nil, Fault{Name: FaultCheckValveStuck, Severity: 0.5})
	assert.InEpsilon(t, float64(pressed(t, 100, 3, nil).At(0.5).FrontVacuum), float64(half.At(0.5).FrontVacuum), 0.02)
}

// At severity 0 every fault by severity leaves the car as it is.
func TestFaultsBeginAtNothing(t *testing.T) {
	sound := pressed(t, 100, 3, nil).At(4)
	for _, name := range FaultNames() {
		if name.Measure() != FaultBySeverity {
			continue
		}
		got := pressed(t, 100, 3, nil, Fault{Name: name}).At(4)
		assert.InEpsilon(t, float64(sound.LineFront), float64(got.LineFront), 1e-4, name)
		assert.InEpsilon(t, float64(sound.PedalTravel), float64(got.PedalTravel), 1e-4, name)
	}
}

// Every fault has a side but those of the pedal itself.
func TestFaultsHaveSides(t *testing.T) {
	for _, name := range FaultNames() {
		if name == FaultPedalRatioWrong || name == FaultPedalBinds {
			assert.Equal(t, SideNone, name.Side(), name)
			continue
		}
		assert.NotEqual(t, SideNone, name.Side(), name)
	}
}
