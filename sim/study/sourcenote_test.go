package study

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/sourcenote"
	"kneepoint/internal/verdict"
	"kneepoint/sim/si"
)

// A vacuum that nobody said where it was read is taken as read where the car is. The
// words say so among the first, with what the same reading at sea level would leave:
// the model's own figure for source.measured_at = 0.
func TestVacuumTakenAsReadAtAltitude(t *testing.T) {
	const feet = "ambient.altitude=7000 ft"
	const want = "18.0 inHg is taken as read at this altitude (7000 ft). If it was read at sea level, the engine has some 11.0 inHg here: say where it was read, or read it again here."
	s := typical(t, feet)
	assert.Equal(t, []string{want}, sourcenote.On(s).Words(si.US))
	// ISO 2533 at 2134 m is 78.2 kPa (secondary copy): 18 inHg less 101.3 - 78.2 kPa is 37.8.
	elsewhere := typical(t, feet, "source.measured_at=0 m")
	assert.InDelta(t, 37.8e3, float64(elsewhere.Config.SourceVacuum()), 0.1e3)
	assert.Contains(t, sourcenote.On(s).Words(si.SI)[0], "some 38 kPa here")

	assert.Equal(t, want, reserveOf(t, s).Words(si.US)[1])
	curve, err := Curve(t.Context(), s, CurveOptions{})
	require.NoError(t, err)
	assert.Equal(t, want, curve.Words(si.US)[1])
	curve, err = Curve(t.Context(), s, CurveOptions{Vacua: []si.Vacuum{60e3}})
	require.NoError(t, err)
	assert.NotContains(t, strings.Join(curve.Words(si.US), "\n"), "taken as read", "nobody read what is asked about")
	choice, err := Choose(t.Context(), typical(t, feet, "choose.boosters=10 in", "choose.reservoirs=0 L", "choose.pumps=false", "choose.bores=1 in", "choose.manual_ratios=6"), nil)
	require.NoError(t, err)
	assert.Equal(t, want, choice.Words(si.US)[1])

	assert.Equal(t, "21.0 inHg is taken as read at this air pressure (11.5 psi). If it was read at sea level, the engine has some 14.5 inHg here: say where it was read, or read it again here.",
		sourcenote.On(typical(t, "ambient.pressure=79 kPa", "source.vacuum=21 inHg")).Words(si.US)[0])
	assert.Contains(t, sourcenote.On(typical(t, "ambient.altitude=5500 m", "source.vacuum=14 inHg")).Words(si.US)[0], "nothing is left of it here")
	for _, quiet := range [][]string{
		nil,
		{"ambient.altitude=100 m"}, // a third of an inch
		{feet, "source.measured_at=7000 ft"},
		{feet, "source.measured_pressure=101.3 kPa"},
		{feet, "source.kind=bench"},
		{feet, "booster.kind=none"},
	} {
		assert.NotContains(t, strings.Join(sourcenote.On(typical(t, quiet...)).Words(si.US), "\n"), "taken as read", "%v", quiet)
	}
	estimated := garage(t, "unmeasured-cam", feet)
	assert.NotContains(t, strings.Join(sourcenote.On(estimated).Words(si.US), "\n"), "taken as read", "it was not read at all")
}

// A reading below what boosters are expected to want (testdata/published.toml,
// idle_vacuum) is said to be, by every verb that judges.
func TestLowVacuumIsSaid(t *testing.T) {
	p := publishedFigures(t).IdleVacuum
	for published, ours := range map[si.Vacuum]si.Vacuum{p.From.is: verdict.UsualVacuumFrom, p.To.is: verdict.UsualVacuumTo, p.HardBelow.is: verdict.HardPedalBelow} {
		assert.InEpsilon(t, float64(published), float64(ours), 1e-9)
	}

	const low = "14.0 inHg is less than boosters are expected to want, some 16.0 to 18.0 inHg at idle (common practice, no source)."
	s := typical(t, "source.vacuum=14 inHg", "choose.boosters=10 in", "choose.reservoirs=0 L", "choose.pumps=false", "choose.bores=1 in", "choose.manual_ratios=6")
	assert.Equal(t, []string{low}, sourcenote.On(s).Words(si.US))
	assert.Contains(t, reserveOf(t, s).Words(si.US), low)
	curve, err := Curve(t.Context(), s, CurveOptions{})
	require.NoError(t, err)
	assert.Contains(t, curve.Words(si.US), low)
	choice, err := Choose(t.Context(), s, nil)
	require.NoError(t, err)
	assert.Contains(t, choice.Words(si.US), low)

	assert.Contains(t, sourcenote.On(typical(t, "source.vacuum=10 inHg")).Words(si.US)[0], "a hard pedal is common below about 12.0 inHg")
	// 16 and 18 inHg at sea level are, 23.1 kPa of air less, 9.2 and 11.2 inHg.
	assert.Contains(t, sourcenote.On(typical(t, "source.vacuum=10 inHg", "ambient.altitude=7000 ft")).Words(si.US)[1],
		"Of an engine that has that at sea level, 9.0 to 11.0 inHg is left here.")
	for _, quiet := range [][]string{{"source.vacuum=16 inHg"}, {"source.vacuum=10 inHg", "pump.off=20 inHg", "pump.free_flow=25 L/min"}, {"source.vacuum=10 inHg", "booster.kind=none"}} {
		assert.Empty(t, sourcenote.On(typical(t, quiet...)).Words(si.US), "%v", quiet)
	}
	assert.NotEmpty(t, sourcenote.On(typical(t, "source.vacuum=10 inHg", "pump.free_flow=25 L/min", "pump.on=8 inHg", "pump.off=13 inHg")).Words(si.US), "a pump that stops at 13 does not make up for it")
}
