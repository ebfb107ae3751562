package scenario_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/verdict"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

const carHead = `
[source]
kind = "engine"
vacuum = "18 inHg"
[booster]
diameter = "10 in"
[pedal]
ratio = 4.0
[master]
bore = "1 in"
[[reading]]
`

func reading(t *testing.T, lines ...string) (scenario.Reading, error) {
	t.Helper()
	s, err := scenario.Read(strings.NewReader(carHead+strings.Join(lines, "\n")), "car.toml")
	if err != nil {
		return scenario.Reading{}, err
	}
	again, err := scenario.Read(strings.NewReader(s.String()), "again.toml")
	require.NoError(t, err, s.String())
	assert.Equal(t, s.Readings, again.Readings, "written and read again")
	return s.Readings[0], nil
}

func TestReadingsAsTheyAreWritten(t *testing.T) {
	t.Parallel()
	inHg := float64(si.InchOfMercury)
	for _, c := range []struct {
		lines string
		want  scenario.Reading
	}{
		{`test = "stops-left"|count = "3 or 4"`, scenario.Reading{Test: scenario.StopsLeft, Count: 3, Between: &scenario.Between{Low: 3, High: 4}}},
		{`test = "stops-left"|count = "more than 5"`, scenario.Reading{Test: scenario.StopsLeft, Count: 5, Between: &scenario.Between{Low: 6, High: math.Inf(1)}}},
		{`test = "stops-left"|count = 2|wait = "10 min"`, scenario.Reading{Test: scenario.StopsLeft, Count: 2, Wait: 600}},
		{`test = "stops-left"|count = 2|error = 1`, scenario.Reading{Test: scenario.StopsLeft, Count: 2, Error: 1}},
		{`test = "stops-left"|count = "can't tell"`, scenario.Reading{Test: scenario.StopsLeft, CantTell: true}},
		{`test = "manifold-vacuum"|value = "17-18 inHg"`, scenario.Reading{Test: scenario.ManifoldVacuum, Value: 17.5 * inHg, Between: &scenario.Between{Low: 17 * inHg, High: 18 * inHg}}},
		{`test = "recharge"|pedal = "300 N"|takes = "> 30 s"`, scenario.Reading{Test: scenario.Recharge, Pedal: 300, Takes: 30, Between: &scenario.Between{Low: 30, High: math.Inf(1)}}},
		{`answer = "spongy"|test = "pedal-feel"`, scenario.Reading{Test: scenario.PedalFeel, Answer: true}},
		{`test = "fluid-level"|answer = "steady"`, scenario.Reading{Test: scenario.FluidLevel}},
		{`test = "fluid-level"|answer = "can’t tell"`, scenario.Reading{Test: scenario.FluidLevel, CantTell: true}},
		{`test = "hiss"|pedal = "pressed"|answer = true`, scenario.Reading{Test: scenario.Hiss, Pedal: scenario.PressedPedal, Answer: true}},
		{`test = "hiss"|pedal = "released"|answer = "no"`, scenario.Reading{Test: scenario.Hiss}},
		{`test = "bleeder-frees"|axle = "rear"|answer = "yes"`, scenario.Reading{Test: scenario.BleederFrees, Axle: verdict.RearAxle, Answer: true}},
		{`test = "pressure-creep"|pedal = "100 N"|lasts = "more than 30 s"|value = "-50 psi"`,
			scenario.Reading{Test: scenario.PressureCreep, Pedal: 100, Lasts: 30, Value: -50 * float64(si.PoundPerSquareInch)}},
	} {
		got, err := reading(t, strings.Split(c.lines, "|")...)
		if assert.NoError(t, err, c.lines) {
			assert.Equal(t, c.want, got, c.lines)
		}
	}
}

func TestReadingsThatCannotBe(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ lines, want string }{
		{`test = "stops-left"|count = "3.5 to 4"`, "whole number"},
		{`test = "pedal-feel"|answer = "soft"`, `"firm", "spongy" or "can't tell"`},
		{`test = "hiss"|pedal = "pressed"|answer = "loud"`, `true, false or "can't tell"`},
		{`test = "wheel-drags"|answer = true`, `"front", "rear" or "both"`},
		{`test = "wheel-drags"|axle = "left"|answer = true`, `"front", "rear" or "both"`},
		{`test = "line-pressure"|pedal = "100 N"|vacuum = "20 inHg"|value = "-50 psi"`, "0 or more"},
		{`test = "manifold-vacuum"|value = "19-18 inHg"`, "inHg"},
		{`test = "manifold-vacuum"|value = "good"`, `want a vacuum, e.g. "20 inHg"`},
		{`test = "manifold-vacuum"|value = 17`, `want "17 kPa" or "17 inHg"`},
		{`test = "line-pressure"|pedal = "100 N"|vacuum = "20 inHg"|value = "good"`, `want a pressure, e.g. "1000 psi"`},
		{`test = "hiss"|pedal = "pressed"|answer = true|lasts = "3 s"`, "only pedal, answer for hiss"},
	} {
		_, err := reading(t, strings.Split(c.lines, "|")...)
		assert.ErrorContains(t, err, c.want, c.lines)
	}
}

func TestComplaintAndTools(t *testing.T) {
	t.Parallel()
	s, err := scenario.Read(strings.NewReader(strings.Replace(carHead, "[[reading]]", "[diagnose]\ncomplaint = \"hard\"\ntools = [\"vacuum-gauge\"]", 1)), "car.toml")
	require.NoError(t, err)
	assert.Equal(t, scenario.ComplaintHard, s.Diagnose.Complaint)
	assert.True(t, s.Diagnose.Has(scenario.VacuumGauge))
	assert.False(t, s.Diagnose.Has(scenario.Lift))
	assert.True(t, scenario.Diagnose{}.Has(scenario.Lift))
}
