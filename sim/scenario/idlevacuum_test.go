package scenario_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kneepoint/internal/physics"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// camCar is a car of which only the cam is known, not the vacuum.
var camCar = with(`vacuum = "18 inHg"`, `idle_speed = "850 rpm"`) + "[cam]\nduration = 224\n"

func TestVacuumIsEstimatedFromTheCam(t *testing.T) {
	s := read(t, camCar)
	low, high, ok := s.EstimatedVacuum()
	require.True(t, ok)
	typical := sim.Typical().Source
	wantLow, wantHigh := sim.EstimateIdleVacuum(sim.IdlingEngine{
		Cam: sim.Cam{Duration: 224}, Displacement: typical.Displacement, Compression: typical.Compression, IdleSpeed: 850.0 / 60,
	}.WithUsualParts(), s.Config.Ambient.Pressure)
	assert.InDelta(t, number(wantLow), number(low), 1e-6)
	assert.InDelta(t, number(wantHigh), number(high), 1e-6)
	assert.InDelta(t, number(wantLow+wantHigh)/2, number(s.Config.Source.Vacuum), 1e-6)

	require.Len(t, s.Spreads, 1)
	assert.Equal(t, "source.vacuum", s.Spreads[0].Path)
	assert.True(t, s.Spreads[0].Estimated)
	assert.InDelta(t, number(high-low)/2, s.Spreads[0].HalfWidth, 1e-6)

	want := fmt.Sprintf("car.toml:11: source.vacuum: read nothing, want a measurement: estimated from the cam at %s (%s), out of gear with nothing to drive; measure it",
		si.FormatSpan(si.DimVacuum, number(low), number(high), si.US), si.FormatSpan(si.DimVacuum, number(low), number(high), si.SI))
	require.Len(t, s.Warnings, 1)
	assert.Equal(t, want, s.Warnings[0].String())

	for _, e := range s.Assumed(false) {
		if e.Path == "source.vacuum" {
			assert.True(t, e.Estimate)
			assert.Equal(t, scenario.Derived, e.Origin)
			assert.Equal(t, si.FormatSpan(si.DimVacuum, number(low), number(high), si.US), e.Text(si.US), "never a bare figure")
			assert.Contains(t, e.TOML, "±")
			assert.Contains(t, e.From, "measure it")
			return
		}
	}
	assert.Fail(t, "source.vacuum is not among what was assumed")
}

func TestEveryKeyOfTheCamMovesTheEstimate(t *testing.T) {
	before := read(t, camCar).Config.Source.Vacuum
	for _, flag := range []string{
		"cam.duration=230", "cam.lobe_separation=114", "cam.lift=0.55 in", "cam.intake_valve=2.05 in",
		"source.cylinders=6", "source.cylinder_bore=3.8 in", "source.displacement=5.0 L", "source.compression=10.5",
		"source.idle_speed=700 rpm", "ambient.altitude=1500 m",
	} {
		s := read(t, camCar, flag)
		assert.NotEqual(t, before, s.Config.Source.Vacuum, flag)
		assert.NotEqual(t, read(t, camCar).Hash(), s.Hash(), flag)
	}
}

// The built-in car's vacuum is assumed; a cam says more of it than that.
func TestCamOfTheBuiltinCar(t *testing.T) {
	s, err := scenario.Builtin("cam.duration=250")
	require.NoError(t, err)
	_, high, ok := s.EstimatedVacuum()
	require.True(t, ok)
	assert.Less(t, high, si.Vacuum(14*si.InchOfMercury))
	require.Len(t, s.Warnings, 1)
	assert.True(t, strings.HasPrefix(s.Warnings[0].String(), "--set source.vacuum: read nothing, "), "%s", s.Warnings[0])
	assert.Contains(t, s.Warnings[0].String(), "measure it")
}

func TestAMeasuredVacuumIsOnlyComparedWithTheCam(t *testing.T) {
	band := func(s *scenario.Scenario, ambient si.Pressure) (low, high si.Vacuum) {
		return sim.EstimateIdleVacuum(sim.IdlingEngine{
			Cam: sim.Cam{Duration: 224}, Displacement: s.Config.Source.Displacement, Compression: s.Config.Source.Compression, IdleSpeed: s.Config.Source.IdleSpeed,
		}.WithUsualParts(), ambient)
	}
	low, high := band(read(t, camCar), physics.SeaLevelPressure)
	const apart = 3 * si.InchOfMercury
	for _, c := range []struct {
		vacuum si.Vacuum
		warned bool
	}{
		{low - apart - 50, true}, {low - apart + 50, false}, {(low + high) / 2, false}, {high + apart - 50, false}, {high + apart + 50, true},
	} {
		set := scenario.QuantityText(si.DimVacuum, float64(c.vacuum))
		s := read(t, camCar, "source.vacuum="+set)
		_, _, estimated := s.EstimatedVacuum()
		assert.False(t, estimated)
		assert.InDelta(t, number(c.vacuum), number(s.Config.Source.Vacuum), 1e-6, "the measurement holds")
		assert.Empty(t, s.Spreads)
		if !c.warned {
			assert.Empty(t, s.Warnings, "%v", c.vacuum)
			continue
		}
		require.Len(t, s.Warnings, 1, "%v", c.vacuum)
		assert.Equal(t, fmt.Sprintf("--set source.vacuum: read %q, want nearer to what the cam lets expect, %s (%s) (estimate): check the gauge, or for a leak or late timing",
			set, si.FormatSpan(si.DimVacuum, number(low), number(high), si.US), si.FormatSpan(si.DimVacuum, number(low), number(high), si.SI)),
			s.Warnings[0].String())
	}

	// It is compared where it was measured, not where the car is.
	far := scenario.QuantityText(si.DimVacuum, float64(high+apart-50))
	assert.Empty(t, read(t, camCar, "source.vacuum="+far, "source.measured_at=0 m", "ambient.altitude=1500 m").Warnings)
	assert.NotEmpty(t, read(t, camCar, "source.vacuum="+far, "ambient.altitude=1500 m").Warnings)
}

func TestWarningsOfTheCam(t *testing.T) {
	for _, c := range []struct {
		name, doc string
		flags     []string
		want      string
	}{
		{"an advertised duration", camCar, []string{"cam.duration=284"},
			"--set cam.duration: read 284, want at most 265 as a rule; an advertised duration is some 50 degrees longer than that at 0.050 in (common practice, no source)"},
		{"gear of no measurement", camCar, []string{"source.measured_in_gear=true"},
			"--set source.measured_in_gear: read true, want source.vacuum as it was measured"},
		{"a cam without duration", car + "[cam]\nlift = \"0.5 in\"", nil,
			`car.toml:11: cam.lift: read "0.5 in", want cam.duration for it to be used`},
		{"cylinders without cam", car + "cylinders = 6", nil,
			"car.toml:10: source.cylinders: read 6, want cam.duration for it to be used"},
		{"a bench has no cam", with(`"engine"`, `"bench"`) + "[cam]\nduration = 224", nil,
			`car.toml:11: cam.duration: read 224, want source.kind = "engine" for it to be used`},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, w := range read(t, c.doc, c.flags...).Warnings {
				got = append(got, w.String())
			}
			assert.Contains(t, got, c.want)
		})
	}
}

func TestMalformedCam(t *testing.T) {
	for _, c := range []struct {
		name, doc string
		flags     []string
		want      []string
	}{
		{"duration with a unit", strings.Replace(camCar, "224", `"224 deg"`, 1), nil, []string{
			`car.toml:11: cam.duration: read "224 deg", which has the unknown unit "deg", want a number`}},
		{"duration of another cam card", strings.Replace(camCar, "224", "0.224", 1), nil, []string{
			`car.toml:11: cam.duration: read 0.224, want 120 to 340`}},
		{"no duration", strings.Replace(camCar, "224", "0", 1), nil, []string{
			`car.toml:11: cam.duration: read 0, want 120 to 340`}},
		{"separation of no lobes", camCar + "lobe_separation = 0", nil, []string{
			`car.toml:12: cam.lobe_separation: read 0, want 85 to 135`}},
		{"lift without a unit", camCar + "lift = 47", nil, []string{
			`car.toml:12: cam.lift: read 47 without a unit, want "47 mm" or "47 in"`}},
		{"lift in the wrong unit", camCar + "lift = \"470 mm\"", nil, []string{
			`car.toml:12: cam.lift: read "470 mm", want 1 mm to 70 mm`}},
		{"valve larger than the cylinder", camCar + "intake_valve = \"4.5 in\"", nil, []string{
			`car.toml:12: cam.intake_valve: read "4.5 in", want less than the cylinder bore of 101.4 mm`}},
		{"cylinders", camCar, []string{"source.cylinders=0"}, []string{
			`--set source.cylinders: read 0, want 1 to 16`}},
		{"half a cylinder", camCar, []string{"source.cylinders=5.5"}, []string{
			`--set source.cylinders: read 5.5, want a whole number from 1 to 16`}},
		{"bore", camCar, []string{"source.cylinder_bore=4 m"}, []string{
			`--set source.cylinder_bore: read "4 m", want 5 mm to 600 mm`}},
		{"misspelt", camCar + "seperation = 110", nil, []string{
			`car.toml:12: cam.seperation: read an unknown key, want a key that "kneepoint keys" lists`}},
		{"measured elsewhere, but not measured", camCar, []string{"source.measured_at=0 m"}, []string{
			`--set source.measured_at: read "0 m", want source.vacuum with it, as it was measured there`}},
		{"an impossible engine says nothing of its vacuum", camCar, []string{"source.compression=1", "ambient.pressure=-5 kPa"}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := scenario.Read(strings.NewReader(c.doc), "car.toml", c.flags...)
			var input *scenario.InputError
			require.True(t, errors.As(err, &input), "%v", err)
			if c.want == nil {
				assert.NotContains(t, err.Error(), "cam")
				return
			}
			assert.Equal(t, c.want, strings.Split(input.Error(), "\n"))
		})
	}
}

// Written, with what was set or in full, the vacuum stays an estimate.
func TestAnEstimateWrittenReadsTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		doc := strings.Replace(camCar, "224", fmt.Sprintf("%.6g", rapid.Float64Range(121, 339).Draw(t, "duration")), 1)
		may := func(line string, from, to float64) {
			if rapid.Bool().Draw(t, line) {
				doc += fmt.Sprintf(line+"\n", rapid.Float64Range(from, to).Draw(t, "value"))
			}
		}
		may("lobe_separation = %.5g", 86, 134)
		may(`lift = "%.4g in"`, 0.1, 1)
		may(`intake_valve = "%.4g mm"`, 20, 60)
		may("[ambient]\naltitude = \"%.4g m\"", 0, 2500)
		s := read(t, doc)
		low, high, ok := s.EstimatedVacuum()
		require.True(t, ok)
		require.Less(t, low, high)
		require.GreaterOrEqual(t, low, si.Vacuum(0))
		for _, text := range []string{s.String(), s.Document()} {
			again := read(t, text)
			require.Equal(t, s.Hash(), again.Hash(), "%s", text)
			require.Equal(t, s.Config, again.Config)
			require.Equal(t, s.Spreads, again.Spreads)
			require.Len(t, again.Warnings, len(s.Warnings))
			require.NotContains(t, text, "\nvacuum = ")
		}
	})
}

// A measured vacuum of the same figures is another scenario: it is answered in
// other words.
func TestAnEstimateIsNoMeasurement(t *testing.T) {
	s := read(t, camCar)
	same, err := s.With("source.vacuum", fmt.Sprintf("%v Pa ± %v Pa", s.Spreads[0].Value, s.Spreads[0].HalfWidth))
	require.NoError(t, err)
	require.Equal(t, s.Config, same.Config)
	assert.NotEqual(t, s.Hash(), same.Hash())
	again, err := same.Edit(nil, "source.vacuum")
	require.NoError(t, err)
	assert.Equal(t, s.Hash(), again.Hash())
}
