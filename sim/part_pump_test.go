package sim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/physics"
	"kneepoint/sim"
	"kneepoint/sim/si"
)

func pumpingCar() sim.Config {
	c := engineOf(6*inHg, 1000)
	c.Pump = sim.Pump{FreeFlow: 25 * si.Litre / si.Minute, On: 14 * inHg, Off: 20 * inHg}
	return c
}

func TestPumpSwitchesAtItsVacua(t *testing.T) {
	out := run(t, pumpingCar(), sim.Schedule{
		Presses: []sim.Press{{At: 1, Pedal: 150, Press: 0.3, Hold: 1, Release: 0.3}},
		Until:   30,
	})
	states := out.Every(1e-3)
	assert.InDelta(t, 20, float64(states[0].FrontVacuum/inHg), 0.5, "settled where it switched off")
	assert.Zero(t, states[0].PumpFlow)
	on, off := 0, 0
	for i := 1; i < len(states); i++ {
		was, is := states[i-1], states[i]
		switch {
		case was.PumpFlow == 0 && is.PumpFlow > 0:
			on++
			assert.InDelta(t, 14, float64(is.FrontVacuum/inHg), 0.2)
		case was.PumpFlow > 0 && is.PumpFlow == 0:
			off++
			assert.InDelta(t, 20, float64(is.FrontVacuum/inHg), 0.05)
		}
	}
	assert.Equal(t, 1, on)
	assert.Equal(t, 1, off)
}

func TestPumpOutOfReachNeverStops(t *testing.T) {
	c := pumpingCar()
	c.Ambient.Pressure = physics.PressureAt(3000)
	c.Source.MeasuredPressure = c.Ambient.Pressure
	out := run(t, c, sim.Schedule{Until: 30})
	for _, x := range out.Every(0.1) {
		require.Positive(t, x.PumpFlow, "at %g s", float64(x.Time))
	}
	// What it gets to: all but 13 % of the air.
	assert.InDelta(t, 0.87, float64(out.At(30).FrontVacuum)/float64(c.Ambient.Pressure), 0.01)
	warned := false
	for _, p := range c.Check() {
		warned = warned || p.Field == "Pump.Off" && !p.Fatal
	}
	assert.True(t, warned)
}

func TestPumpStopsWithTheEngineUnlessItIsWiredOtherwise(t *testing.T) {
	for _, after := range []bool{false, true} {
		c := pumpingCar()
		c.Pump.EngineOff = after
		out := run(t, c, sim.Schedule{
			Presses: []sim.Press{
				{At: 2, Pedal: 150, Press: 0.3, Hold: 1, Release: 0.3},
				{At: 6, Pedal: 150, Press: 0.3, Hold: 1, Release: 0.3},
			},
			Events: []sim.Event{{At: 1, Engine: sim.EngineOff}},
			Until:  40,
		})
		if after {
			assert.Greater(t, out.At(40).FrontVacuum, si.Vacuum(14*inHg))
		} else {
			assert.Less(t, out.At(40).FrontVacuum, si.Vacuum(14*inHg))
			for _, x := range out.Every(0.1) {
				require.Zero(t, x.PumpFlow, "at %g s", float64(x.Time))
			}
		}
	}
}
