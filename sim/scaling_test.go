package sim

import (
	"fmt"
	"maps"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kneepoint/sim/si"
)

// The laws of scaling that this model keeps exactly. With a factor that is a power
// of two nothing is rounded, and the runs are the same to the bit.
//
// That all areas, volumes, masses and forces scaled together leave pressures and
// times alone is not among them: the estimates that no key sets stay as they are
// (masses and damping of hub and rod, heat of the walls, stiffness of disc and
// contacts, the master cylinder's own compliance). What that comes to on a slow
// press is held by TestKneeScalesWithTheParts of the studies.
func TestExactScaling(t *testing.T) {
	laws := exactLaws()
	names := slices.Sorted(maps.Keys(laws))
	rapid.Check(t, func(t *rapid.T) {
		c, s := drawCar(t)
		changed, again := c, s
		again.Presses = slices.Clone(s.Presses)
		pedal := laws[rapid.SampledFrom(names).Draw(t, "law")](&changed, &again)
		want, got := stateEvery(t, c, s), stateEvery(t, changed, again)
		for i := range want {
			want[i].Pedal *= pedal
			// As text: to the bit, and NaN where there is nothing.
			require.Equal(t, fmt.Sprintf("%#v", want[i]), fmt.Sprintf("%#v", got[i]))
		}
	})
}

// exactLaws change a car and its drive and return what becomes of the foot's force.
func exactLaws() map[string]func(*Config, *Schedule) si.Force {
	return map[string]func(*Config, *Schedule) si.Force{
		"a pedal that loses half is pressed twice as hard": func(c *Config, s *Schedule) si.Force {
			c.Pedal.Efficiency /= 2
			for i := range s.Presses {
				s.Presses[i].Pedal *= 2
			}
			return 2
		},
		"a heavier car with brakes as much larger slows alike": func(c *Config, _ *Schedule) si.Force {
			c.Car.Mass /= 2
			c.Car.FrontBrake.PistonArea /= 2
			c.Car.RearBrake.PistonArea /= 2
			return 1
		},
		"larger tyres on larger discs slow alike": func(c *Config, _ *Schedule) si.Force {
			c.Car.TyreRadius *= 2
			c.Car.FrontBrake.Radius *= 2
			c.Car.RearBrake.Radius *= 2
			return 1
		},
		"a longer and higher car moves as much load": func(c *Config, _ *Schedule) si.Force {
			c.Car.Wheelbase /= 2
			c.Car.CentreHeight /= 2
			return 1
		},
		"diameters are for show": func(c *Config, _ *Schedule) si.Force {
			c.Booster.Diameters = []si.Length{0.2, 0.2}
			return 1
		},
		"a leak is the sum of its parts": func(c *Config, _ *Schedule) si.Force {
			var halves []Fault
			for _, f := range c.Faults {
				if f.Name.Measure() == FaultByArea {
					f.Area /= 2
					halves = append(halves, f)
				}
				halves = append(halves, f)
			}
			c.Faults = halves
			return 1
		},
	}
}

func stateEvery(t *rapid.T, c Config, s Schedule) []State {
	m, err := New(c)
	require.NoError(t, err)
	run, err := m.Run(t.Context(), s)
	require.NoError(t, err)
	return run.Every(0.05)
}
