package fleet_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/bench/fleet"
	"kneepoint/sim"
	"kneepoint/sim/si"
)

// randomCars is how many of the fleet a test run drives.
const randomCars = 300

// TestAnyCarFinishes drives cars from all over the range and holds what must be
// true of every one of them, whatever its faults.
func TestAnyCarFinishes(t *testing.T) {
	steps, simulated := 0, si.Time(0)
	rests, kept := 0, 0
	for seed := range uint64(randomCars) {
		c, s := fleet.Random(rand.New(rand.NewPCG(seed, 0)))
		m, err := sim.New(c)
		require.NoError(t, err, "car %d", seed)
		run, err := m.Run(context.Background(), s)
		require.NoError(t, err, "car %d", seed)
		require.Equal(t, s.Until, run.Until(), "car %d", seed)
		steps += m.Stats().Steps
		simulated += s.Until

		for _, x := range run.Every(0.05) {
			holdsAnywhere(t, seed, &c, x)
		}
		if c.Booster.Kind == sim.BoosterNone {
			continue
		}
		rests += comesToRest(t, seed, &c, &s, run)
		kept += keepsAir(t, seed, &c, &s, run)
	}
	t.Logf("%d cars, %.0f s simulated in %d steps; looked at %d returns to rest and at stored air %d times",
		randomCars, float64(simulated), steps, rests, kept)
	// A generator that never gets there would make the two checks empty.
	assert.Greater(t, rests, randomCars/2)
	assert.Greater(t, kept, randomCars)
}

// holdsAnywhere checks one state of any car.
func holdsAnywhere(t *testing.T, seed uint64, c *sim.Config, x sim.State) {
	t.Helper()
	at := float64(x.Time)
	// The seals let fluid in some 0.05 MPa below ambient.
	const seals = -0.06e6
	if x.LineFront < seals || x.LineRear < seals || !finite(x.LineFront) || !finite(x.LineRear) {
		t.Errorf("car %d: line pressures of %v and %v at %g s", seed, x.LineFront, x.LineRear, at)
	}
	// As the piston is drawn back its seals drag on whatever pushes it, and
	// suction may outweigh a weak spring.
	if x.Output < -si.Force(c.Master.Friction) || !finite(x.Output) {
		t.Errorf("car %d: output of %v at %g s", seed, x.Output, at)
	}
	limit := c.Car.Adhesion * si.StandardGravity
	if !(x.Deceleration >= 0 && float64(x.Deceleration) <= float64(limit)*(1+1e-12)) {
		t.Errorf("car %d: deceleration of %v at %g s", seed, x.Deceleration, at)
	}
	if c.Booster.Kind == sim.BoosterNone {
		if !math.IsNaN(float64(x.FrontVacuum)) || !(x.PedalTravel > -20e-3) {
			t.Errorf("car %d: a manual pedal with a vacuum of %v and a travel of %v at %g s", seed, x.FrontVacuum, x.PedalTravel, at)
		}
		return
	}
	for _, v := range []si.Vacuum{x.FrontVacuum, x.WorkingVacuum, x.HoseVacuum, x.ManifoldVacuum} {
		if !(v < si.Vacuum(c.Ambient.Pressure)) || !finite(v) {
			t.Errorf("car %d: a vacuum of %v at %g s", seed, v, at)
		}
	}
	// Metal gives some tenths of a millimetre when it is struck.
	if !(x.Hub > -1e-3 && x.Hub < c.Booster.Stroke+3e-3) {
		t.Errorf("car %d: hub at %v at %g s", seed, x.Hub, at)
	}
	if !(x.AirOpen >= 0 && x.AirOpen <= 1 && x.VacuumOpen >= 0 && x.VacuumOpen <= 1) ||
		x.AirOpen > 0.01 && x.VacuumOpen > 0.01 {
		t.Errorf("car %d: seats open by %v and %v at %g s", seed, x.AirOpen, x.VacuumOpen, at)
	}
}

// comesToRest checks that the hub is back and the line empty 2 s after the
// foot left the pedal, and returns how often it looked. Left out are the faults
// that hold a brake on: air that comes in faster than it is drawn off, a rod that
// is too long, a covered return port, a line or hose that lets the fluid back slowly,
// fluid that a lost circuit has to draw back.
func comesToRest(t *testing.T, seed uint64, c *sim.Config, s *sim.Schedule, run *sim.Trajectory) (looked int) {
	t.Helper()
	if c.Front.Lost || c.Rear.Lost {
		return 0
	}
	for _, f := range c.Faults {
		switch f.Name {
		case sim.FaultAirSeatLeak, sim.FaultPushrodTooLong, sim.FaultAirInCircuit,
			sim.FaultReturnPortCovered, sim.FaultLineBlocked, sim.FaultHoseBlocked:
			return 0
		}
	}
	const patience = 2.0
	for i, p := range s.Presses {
		until := s.Until
		if i+1 < len(s.Presses) {
			until = s.Presses[i+1].At
		}
		if until < p.End()+patience {
			continue
		}
		looked++
		x := run.At(p.End() + patience)
		if x.Hub > 0.1e-3 || x.LineFront > 0.05e6 || x.LineRear > 0.05e6 || x.PedalTravel > 1e-3 {
			t.Errorf("car %d: %.0f s after press %d the hub is at %v, the pedal at %v, the lines at %v and %v",
				seed, patience, i, x.Hub, x.PedalTravel, x.LineFront, x.LineRear)
		}
	}
	return looked
}

// keepsAir checks that with the engine off and the pedal free no air leaves the
// chambers, so that no vacuum comes from nowhere, and returns how often it
// looked. A press is left out: a hub that is pushed on by the foot alone blows
// air through the check valve and draws a little vacuum as it returns.
func keepsAir(t *testing.T, seed uint64, c *sim.Config, s *sim.Schedule, run *sim.Trajectory) (looked int) {
	t.Helper()
	if c.Pump.FreeFlow > 0 || c.Reservoir.Volume > 0 || len(s.Events) == 0 || s.Events[len(s.Events)-1].Engine != sim.EngineOff {
		return 0
	}
	for _, f := range c.Faults {
		if f.Name == sim.FaultBoosterUndersized {
			return 0 // its volumes are not the config's
		}
	}
	off := s.Events[len(s.Events)-1].At
	b := &c.Booster
	// Air that came in fast is warm, and draws a vacuum as it cools: what counts
	// is its amount.
	air := func(x sim.State) float64 {
		chamber := func(v si.Vacuum, space, swept float64, at si.Temperature) float64 {
			return float64(v.Below(c.Ambient.Pressure)) * (space + swept*float64(x.Hub)) / float64(at)
		}
		return chamber(x.FrontVacuum, float64(b.FrontVolume), -float64(b.Area), x.FrontTemperature) +
			chamber(x.WorkingVacuum, float64(b.RearVolume), float64(b.Area-b.TailArea), x.WorkingTemperature)
	}
	for i, p := range s.Presses {
		until := s.Until
		if i+1 < len(s.Presses) {
			until = s.Presses[i+1].At
		}
		before := 0.0
		for at := max(off+2, p.End()); at <= until; at += 0.1 {
			x := run.At(at)
			if x.ManifoldVacuum > x.FrontVacuum || x.HoseVacuum > x.FrontVacuum || x.FrontVacuum < 0 || x.WorkingVacuum < 0 {
				before = 0
				continue
			}
			now := air(x)
			if now < before*(1-1e-5) {
				t.Errorf("car %d: air in the chambers fell from %.8g to %.8g Pa m³/K by %g s", seed, before, now, float64(at))
			}
			if before > 0 {
				looked++
			}
			before = now
		}
	}
	return looked
}

func finite[T ~float64](v T) bool { return v-v == 0 }
