package sim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

// threePresses presses the same pedal three times and returns the states at the
// end of each hold, and at rest before each.
func threePresses(t *testing.T, c sim.Config, pedal si.Force) (held, rest []sim.State) {
	t.Helper()
	s := sim.Schedule{Until: 24}
	for i := range 3 {
		s.Presses = append(s.Presses, sim.Press{At: si.Time(1 + 8*i), Pedal: pedal, Press: 0.3, Hold: 2, Release: 0.3})
	}
	out := run(t, c, s)
	for _, p := range s.Presses {
		rest = append(rest, out.At(p.At))
		held = append(held, out.At(p.At+2.25))
	}
	return held, rest
}

// eachPedal is a boosted and a manual car with the given circuits.
func eachPedal(circuits sim.Circuits) map[string]sim.Config {
	boosted := bench(66.7e3)
	boosted.Master.Circuits = circuits
	manual := boosted
	manual.Booster.Kind = sim.BoosterNone
	manual.Pedal.Ratio = 6
	return map[string]sim.Config{"boosted": boosted, "manual": manual}
}

// With one circuit a leak leaves nothing.
func TestLeakInASingleCircuitLeavesNothing(t *testing.T) {
	for name, c := range eachPedal(sim.MasterSingle) {
		for _, side := range []string{"front", "rear"} {
			t.Run(name+", "+side, func(t *testing.T) {
				if side == "front" {
					c.Front.Lost, c.Rear.Lost = true, false
				} else {
					c.Front.Lost, c.Rear.Lost = false, true
				}
				held, _ := threePresses(t, c, 150)
				for i, x := range held {
					assert.Less(t, float64(x.LineFront), 0.1e6, "press %d", i)
					assert.Less(t, float64(x.LineRear), 0.1e6, "press %d", i)
					assert.Less(t, float64(x.Deceleration), 0.2, "press %d", i)
				}
			})
		}
	}
}

// With two the failed half's piston bottoms, at the price of pedal travel, and
// the other half works as before; so it does on every later press.
func TestDualMasterKeepsTheOtherHalf(t *testing.T) {
	for name, sound := range eachPedal(sim.MasterDual) {
		healthy, _ := threePresses(t, sound, 150)
		for _, side := range []string{"front", "rear"} {
			t.Run(name+", "+side, func(t *testing.T) {
				c := sound
				working := func(x sim.State) float64 { return float64(x.LineRear) }
				failed := func(x sim.State) float64 { return float64(x.LineFront) }
				if side == "front" {
					c.Front.Lost = true
				} else {
					c.Rear.Lost = true
					working, failed = failed, working
				}
				held, rest := threePresses(t, c, 150)
				for i, x := range held {
					require.InEpsilon(t, working(healthy[0]), working(x), 0.1, "press %d", i)
					assert.InDelta(t, 0, failed(x), 0.01e6, "press %d", i)
					assert.Greater(t, float64(x.PedalTravel-healthy[i].PedalTravel), 20e-3, "press %d", i)
					// The second piston on the end wall, or the first on the second.
					half := float64(c.Master.Stroke) / 2
					if side == "rear" {
						assert.InDelta(t, half, float64(x.Floater), 1.5e-3, "press %d", i)
					} else {
						assert.InDelta(t, half, float64(x.Piston-x.Floater), 1.5e-3, "press %d", i)
					}
					assert.InDelta(t, 0, float64(rest[i].PedalTravel), 1e-3, "before press %d", i)
					assert.InDelta(t, 0, float64(rest[i].LineFront+rest[i].LineRear), 20e3, "before press %d", i)
				}
				t.Logf("sound %.2f MPa at %.0f mm of pedal; left %.2f %.2f %.2f MPa at %.0f %.0f %.0f mm",
					working(healthy[0])/1e6, 1e3*float64(healthy[0].PedalTravel),
					working(held[0])/1e6, working(held[1])/1e6, working(held[2])/1e6,
					1e3*float64(held[0].PedalTravel), 1e3*float64(held[1].PedalTravel), 1e3*float64(held[2].PedalTravel))
			})
		}
	}
}

// Air in a circuit lengthens the pedal and, given travel, takes no pressure.
func TestAirInACircuitLengthensThePedal(t *testing.T) {
	c := bench(66.7e3)
	sound, _ := threePresses(t, c, 100)
	c.Faults = []sim.Fault{{Name: sim.FaultAirInCircuit, Severity: 0.2}}
	spongy, _ := threePresses(t, c, 100)
	assert.Greater(t, float64(spongy[0].PedalTravel-sound[0].PedalTravel), 5e-3)
	assert.InEpsilon(t, float64(sound[0].LineFront), float64(spongy[0].LineFront), 0.03)
}
