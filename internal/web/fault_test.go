package web

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// shownOf are figures that the page shows of a car that goes through one stop and
// stands with its engine off afterwards.
func shownOf(t *testing.T, s *scenario.Scenario) map[string]float64 {
	t.Helper()
	ctx := context.Background()
	c, err := newCars(ctx, s)
	require.NoError(t, err)
	out := map[string]float64{}
	pedal := si.Force(0)
	during := func(to, takes float64, engine sim.EngineState) frame {
		for left := takes; left > 1e-9; left -= 0.05 {
			pedal += (si.Force(to) - pedal) * si.Force(min(1, 0.05/left))
			require.NoError(t, c.step(ctx, stepRequest{Dt: 0.05, Pedal: pedal, Engine: engine}))
		}
		return c.frame()
	}
	see := func(when string, f frame) {
		out[when+" front line, 70 kPa"] = float64(f.LineFront) / 70e3
		out[when+" rear line, 70 kPa"] = float64(f.LineRear) / 70e3
		out[when+" vacuum, 1.7 kPa"] = float64(f.FrontVacuum.Value()) / 1.7e3
		out[when+" travel, 5 mm"] = float64(f.PedalTravel) / 5e-3
		out[when+" slowing, 0.05 g"] = float64(f.Deceleration) / 0.49
	}
	see("at rest", c.frame())
	if c.frame().Piston > portPassed {
		// The page says in words that the piston has not come home: no healthy car has it.
		out["at rest ports covered"] = 2
	}
	see("soon after pressing", during(100, 0.3, sim.EngineIdle))
	see("holding", during(100, 2, sim.EngineIdle))
	during(0, 0.3, sim.EngineIdle)
	see("soon after letting go", during(0, 0.7, sim.EngineIdle))
	see("half a minute after the engine stopped", during(0, 30, sim.EngineOff))
	return out
}

// portPassed is the piston's travel from which the page says that it covers the ports.
const portPassed si.Length = 1e-3

// Every fault, as the page first sets it, changes a figure that the page shows by two
// of its smallest steps that a pupil would notice (those are estimates).
func TestFaultsAreNoticed(t *testing.T) {
	s := starterScenario(t, "stock-ten-inch")
	well := shownOf(t, s)
	for _, name := range sim.FaultNames() {
		t.Run(string(name), func(t *testing.T) {
			t.Parallel()
			ill, err := chooseFault(s, changeRequest{Control: "fault", Value: string(name)})
			require.NoError(t, err)
			most, where := 0.0, ""
			shown := shownOf(t, ill)
			for key, v := range shown {
				if d := math.Abs(v - well[key]); d > most {
					most, where = d, key
				}
			}
			assert.GreaterOrEqual(t, most, 2., "the most is %s", where)
		})
	}
}
