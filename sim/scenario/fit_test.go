package scenario_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

func TestFitKeys(t *testing.T) {
	t.Parallel()
	s, err := scenario.Builtin("fit.find=front-shell-leak, booster.front_volume,vacuum-offset", "fit.engine=idle")
	require.NoError(t, err)
	assert.Equal(t, []string{"front-shell-leak", "booster.front_volume", "vacuum-offset"}, s.Fit.Find)
	assert.Equal(t, sim.EngineIdle, s.Fit.Engine)
	// The engine is off, unless an event says when it goes off.
	s, err = scenario.Builtin()
	require.NoError(t, err)
	assert.Equal(t, sim.EngineOff, s.Fit.Engine)
	s, err = scenario.Builtin("event[0].at=3 s", "event[0].engine=off")
	require.NoError(t, err)
	assert.Equal(t, sim.EngineIdle, s.Fit.Engine)
}

// Unknowns are keys of quantities of the car, faults and offsets, each once; anything else
// is refused with what would be right.
func TestWhatAFitCanFind(t *testing.T) {
	t.Parallel()
	for _, name := range scenario.UnknownNames() {
		settings := []string{"pump.free_flow=25 L/min", "pump.on=14 inHg", "pump.off=18 inHg", "reservoir.volume=2 L", "fit.find=" + name}
		if name == "source.cylinder_bore" { // of an idle vacuum estimated from the cam
			settings = append(settings, "cam.duration=230")
		}
		_, err := scenario.Builtin(settings...)
		assert.NoError(t, err, name)
	}
	for find, want := range map[string]string{
		"booster.colour":                         "the key of a quantity of the car such as booster.front_volume",
		"booster.kind":                           "the key of a quantity",
		"reserve.pedal":                          "the key of a quantity",
		"car.mass":                               "the key of a quantity",
		"pump.free_flow":                         "a quantity that this car has",
		"fault[0].area":                          "a fault that the scenario has, or its name",
		"booster.ratio,booster.ratio":            "each unknown once",
		"booster.rati":                           "perhaps booster.ratio",
		"source.cylinders":                       "the key of a quantity",
		"ambient.altitude":                       "the key of a quantity",
		"front-shell-leak,booster.front_volum":   "booster.front_volume",
		strings.Repeat("hose.area,", 13) + "end": "at most 12",
	} {
		_, err := scenario.Builtin("fit.find=" + find)
		if assert.Error(t, err, find) {
			assert.Contains(t, err.Error(), "fit.find: read ", find)
			assert.Contains(t, err.Error(), want, find)
		}
	}
	_, err := scenario.Builtin("booster.friction=0 N", "fit.find=booster.friction")
	assert.ErrorContains(t, err, "a quantity above 0 to start from")
	_, err = scenario.Builtin("booster.diameter=8 in + 9 in", "fit.find=booster.diameter")
	assert.ErrorContains(t, err, "a tandem's can be booster.area")
	// A fault's name and the key that holds it are one unknown.
	_, err = scenario.Builtin("fault[0].name=hose-leak", "fault[0].area=1 mm2", "fit.find=hose-leak,fault[0].area")
	assert.ErrorContains(t, err, "hose-leak is the same")
}

// Values of unknowns go into the car, those of faults that it has not as faults.
func TestWithUnknowns(t *testing.T) {
	t.Parallel()
	s, err := scenario.Builtin("fault[0].name=hose-leak", "fault[0].area=1 mm2")
	require.NoError(t, err)
	var unknowns []scenario.Unknown
	for _, name := range []string{"hose-leak", "front-shell-leak", "booster.ratio", "filter-blocked", "vacuum-offset"} {
		u, want := s.Unknown(name)
		require.Empty(t, want)
		unknowns = append(unknowns, u)
	}
	assert.InDelta(t, 1e-6, unknowns[0].Value, 1e-18)
	assert.Zero(t, unknowns[1].Value)
	assert.Equal(t, si.DimVacuum, unknowns[4].Dim)
	car, err := s.WithUnknowns(unknowns, []float64{2e-6, 3e-6, 4, 0.5, 100})
	require.NoError(t, err)
	assert.Equal(t, []sim.Fault{
		{Name: sim.FaultHoseLeak, Area: 2e-6}, {Name: sim.FaultFrontShellLeak, Area: 3e-6}, {Name: sim.FaultFilterBlocked, Open: 0.5},
	}, car.Config.Faults)
	assert.Equal(t, si.Ratio(4), car.Config.Booster.Ratio)
	_, err = s.WithUnknowns(unknowns[:1], []float64{5})
	assert.Error(t, err)
}
