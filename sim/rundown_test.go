package sim_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

// reserveCar is a 10 in booster with roomy chambers on a bench, with a tank. What air
// a hub blows out that the foot pushes beyond the knee counts for less in them: in the
// default's chambers one of these stops, at 100 N from 9 kPa, is off by 2.06 kPa.
func reserveCar(tank sim.Reservoir) sim.Config {
	c := bench(66.7e3)
	c.Booster.Ratio = 6
	c.Booster.FrontVolume, c.Booster.RearVolume = 3.6e-3, 0.6e-3
	c.Reservoir = tank
	return c
}

// applied is the hub's travel and the working chamber's pressure with the pedal
// held.
type applied struct{ travel, working float64 }

// kneeOf presses a copy of the session slowly until the working chamber holds
// ambient pressure. A pedal that stops short of that has no knee.
func kneeOf(t *testing.T, s *sim.Session, pedal si.Force) applied {
	t.Helper()
	const almost = 200 // Pa
	f := s.Fork()
	f.Pedal(pedal, 20)
	for range 440 {
		advance(t, f, 0.05)
		if f.State().WorkingVacuum < almost {
			break
		}
	}
	x := f.State()
	return applied{float64(x.Hub), float64(x.WorkingVacuum)}
}

// TestRunDownFollowsGasLaw holds every stop with the engine off against one
// cycle at one temperature, from the simulated vacuum before it: the working
// chamber fills to p_W at a travel x, and on release shares its air with the front
// chamber and the tank,
//
//	p' = [p (V_F0 + V_res) + p_W (V_W0 + (A_d - A_t) x)] / (V_F0 + V_W0 + V_res).
//
// Beyond the knee the hub first runs back with the air valve still open and blows
// air out, so x and p_W are then the knee's. It is met within 1 kPa below the
// knee and 2 kPa beyond.
func TestRunDownFollowsGasLaw(t *testing.T) {
	tanks := map[string]sim.Reservoir{
		"no tank":                    {},
		"2 L behind the check valve": {Volume: 2e-3, Place: sim.PlaceBoosterSide},
		"2 L with a valve of its own": {
			Volume: 2e-3, Place: sim.PlaceEngineSide, InletValve: true,
		},
	}
	for name, tank := range tanks {
		for _, pedal := range []si.Force{40, 100, 200, 400} {
			t.Run(fmt.Sprintf("%s, %.0f N", name, float64(pedal)), func(t *testing.T) {
				c := reserveCar(tank)
				s := settled(t, c)
				s.Engine(sim.EngineOff)
				advance(t, s, 5)
				b := &c.Booster
				front, rear := float64(b.FrontVolume), float64(b.RearVolume)
				stored := float64(tank.Volume)
				ambient := float64(c.Ambient.Pressure)
				figures := ""
				for stop := range 5 {
					before := s.State()
					knee := kneeOf(t, s, pedal)
					s.Plan(sim.Press{At: s.Time(), Pedal: pedal, Press: 0.3, Hold: 2, Release: 0.3})
					advance(t, s, 2.25)
					held := s.State()
					allowed := 1e3
					at := applied{float64(held.Hub), float64(held.WorkingVacuum)}
					if knee.working < 210 && knee.travel < at.travel {
						at, allowed = knee, 2e3
					}
					advance(t, s, 0.35+6)
					after := s.State()

					p := ambient - float64(before.FrontVacuum)
					filled := (ambient - at.working) * (rear + float64(b.Area-b.TailArea)*at.travel)
					want := (p*(front+stored) + filled) / (front + rear + stored)
					assert.InDelta(t, ambient-want, float64(after.FrontVacuum), allowed, "stop %d", stop+1)
					assert.Less(t, after.FrontVacuum, before.FrontVacuum)
					figures += fmt.Sprintf(" %.1f(%.1f)", float64(after.FrontVacuum)/1e3, (ambient-want)/1e3)
				}
				t.Logf("vacuum after stops, kPa (gas law):%s", figures)
			})
		}
	}
}

// A tank without a valve of its own on the engine's side empties with the
// engine: it is as good as none.
func TestOpenTankIsAsGoodAsNone(t *testing.T) {
	left := func(tank sim.Reservoir) float64 {
		s := settled(t, reserveCar(tank))
		s.Engine(sim.EngineOff)
		advance(t, s, 5)
		for range 3 {
			s.Plan(sim.Press{At: s.Time(), Pedal: 100, Press: 0.3, Hold: 2, Release: 0.3})
			advance(t, s, 8.6)
		}
		return float64(s.State().FrontVacuum)
	}
	none := left(sim.Reservoir{})
	open := left(sim.Reservoir{Volume: 2e-3, Place: sim.PlaceEngineSide})
	valved := left(sim.Reservoir{Volume: 2e-3, Place: sim.PlaceEngineSide, InletValve: true})
	behind := left(sim.Reservoir{Volume: 2e-3, Place: sim.PlaceBoosterSide})
	assert.InDelta(t, none, open, 100)
	assert.Greater(t, valved, none+5e3)
	assert.InDelta(t, valved, behind, 1.5e3)
}
