package scenario

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/si"
)

// First files as people write them, slips included. The first line of each says what is
// to come of it: "ok", "warn" with a part of the warning, or a part of the one sentence
// that says what is wrong. Nobody is told that nothing was read.
func TestFirstFiles(t *testing.T) {
	files, err := filepath.Glob("testdata/firstfiles/*.toml")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 30)
	for _, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		first, _, _ := strings.Cut(string(plainText(data)), "\n")
		want, ok := strings.CutPrefix(strings.TrimSpace(first), "# expect: ")
		require.True(t, ok, file)
		s, err := Open(file, nil)
		warning, warns := strings.CutPrefix(want, "warn ")
		switch {
		case want == "ok":
			if assert.NoError(t, err, file) {
				assert.Empty(t, s.Warnings, file)
			}
		case warns:
			if assert.NoError(t, err, file) && assert.NotEmpty(t, s.Warnings, file) {
				assert.Contains(t, s.Warnings[0].String(), warning, file)
			}
		default:
			if assert.Error(t, err, file) {
				assert.Contains(t, err.Error(), want, file)
				assert.Equal(t, 1, strings.Count(strings.TrimSpace(err.Error()), "\n")+1, "%s: one sentence, got %s", file, err)
				assert.NotContains(t, err.Error(), "read nothing,", file)
			}
		}
	}
}

// What was written in their words is what was meant.
func TestTheirWordsMeanTheSame(t *testing.T) {
	for _, c := range []struct{ theirs, same string }{
		{"[booster]\ndiameter = '9\"'", "[booster]\ndiameter = \"9 in\""},
		{"[booster]\ndiameter = 9", "[booster]\ndiameter = \"9 in\""},
		{"[booster]\ndiameter = \"8+8\"", "[booster]\ndiameter = [\"8 in\", \"8 in\"]"},
		{"[booster]\ndiameter = \"8 in x 9\"", "[booster]\ndiameter = [\"8 in\", \"9 in\"]"},
		{"[booster]\ndiameter = \"9 in dual\"", "[booster]\ndiameter = [\"9 in\", \"9 in\"]"},
		{"[source]\nvacuum = \"9-12 inHg\"", "[source]\nvacuum = \"10.5 inHg ± 1.5 inHg\""},
		{"[source]\nvacuum = \"17 to 18\"", "[source]\nvacuum = \"17.5 inHg ± 0.5 inHg\""},
		{"[source]\ndisplacement = \"350 ci\"", "[source]\ndisplacement = \"350 in3\""},
		{"[booster]\ndiameter = \"8\\\" + 9\\\"\"", "[booster]\ndiameter = [\"8 in\", \"9 in\"]"},
		{"[booster]\ndiameter = \"7/8\"", "[booster]\ndiameter = [\"7 in\", \"8 in\"]"},
		{"[source]\nvacuum = \"9\\\"-12\\\"\"", "[source]\nvacuum = \"10.5 inHg ± 1.5 inHg\""},
		{"[source]\nvacuum = \"15 inches of vacuum\"", "[source]\nvacuum = \"15 inHg\""},
		{"[pedal]\nratio = \"4 to 1\"", "[pedal]\nratio = 4"},
		{"[pedal]\nratio = \"5-6\"", "[pedal]\nratio = \"5.5 ± 0.5\""},
		{"[pedal]\nratio = \"12 in / 3 in\"", "[pedal]\nratio = 4"},
		{"[car]\nfront_share = \"55/45\"", "[car]\nfront_share = 0.55"},
		{"[car]\ntyre_diameter = 27", "[car]\ntyre_diameter = \"27 in\""},
		{"[choose]\nboosters = \"7, 8+8, manual\"", "[choose]\nboosters = [\"7 in\", \"8 in + 8 in\", \"none\"]"},
		{"[choose]\nreservoirs = [0, 2]", "[choose]\nreservoirs = [\"0 L\", \"2 L\"]"},
		{"[brake.rear]\nkind = \"drums\"", "[brake.rear]\nkind = \"leading-trailing\""},
		{"[master]\nbore = \"15/16\"", "[master]\nbore = \"15/16 in\""},
		{"[brake.front]\nrotor_diameter = \"11 in\"", "[brake.front]\nradius = \"4.4 in\""},
		{"[brake.rear]\ndrum_diameter = \"9.5 in\"", "[brake.rear]\nradius = \"4.75 in\""},
		{"[choose]\nboosters = [\"8+8\", \"9\\\"\", \"8 in dual\"]", "[choose]\nboosters = [\"8 in + 8 in\", \"9 in\", \"8 in + 8 in\"]"},
	} {
		theirs, err := Read(strings.NewReader(c.theirs), "theirs")
		require.NoError(t, err, c.theirs)
		same, err := Read(strings.NewReader(c.same), "same")
		require.NoError(t, err, c.same)
		assert.Equal(t, same.Hash(), theirs.Hash(), c.theirs)
		// What is saved says it again.
		again, err := Read(strings.NewReader(theirs.Document()), "again")
		require.NoError(t, err, c.theirs)
		assert.Equal(t, same.Hash(), again.Hash(), "%s, saved: %s", c.theirs, theirs.Document())
	}
}

// A vacuum out of gear is one in gear of 2 to 4 inHg less, saved and read again.
func TestVacuumInNeutral(t *testing.T) {
	s, err := Read(strings.NewReader("[source]\nvacuum_in_neutral = \"15 inHg\""), "neutral")
	require.NoError(t, err)
	again, err := Read(strings.NewReader(s.Document()), "again")
	require.NoError(t, err)
	for _, s := range []*Scenario{s, again} {
		assert.InDelta(t, 12*si.InchOfMercury, float64(s.Config.Source.Vacuum), 0.1)
		require.Len(t, s.Spreads, 1)
		assert.Equal(t, "source.vacuum", s.Spreads[0].Path)
		assert.InDelta(t, si.InchOfMercury, s.Spreads[0].HalfWidth, 0.1)
	}
	measured, err := Read(strings.NewReader("[source]\nvacuum_in_neutral = \"15 inHg\"\nvacuum = \"11 inHg\""), "both")
	require.NoError(t, err)
	assert.InDelta(t, 11*si.InchOfMercury, float64(measured.Config.Source.Vacuum), 0.1)
	assert.Empty(t, measured.Spreads)
}

// The rolling radius by the code on a tyre's side: 205 mm at 70 % on 14 in is 642.6 mm
// high, and rolls 1.960 m a turn by the factor of 3.05.
func TestTyreCodes(t *testing.T) {
	for code, want := range map[string]si.Length{
		"P205/70R14": 0.3119, "205/70 R14": 0.3119, "P205/70-14": 0.3119, "LT235/75R15": 0.3561, "205/70HR14": 0.3119, "31x10.50R15": 0.3822,
	} {
		got, ok := tyreRadius(code)
		require.True(t, ok, code)
		assert.InEpsilon(t, float64(want), float64(got), 1e-3, code)
	}
	_, ok := tyreRadius("27 in")
	assert.False(t, ok)
}

// Of an engine read in neutral alone, 15 to 17 inHg, gear leaves 2 to 4 inHg less.
func TestNeutralAsARange(t *testing.T) {
	s, err := Read(strings.NewReader("[source]\nvacuum_in_neutral = \"15-17 inHg\""), "neutral")
	require.NoError(t, err)
	require.Len(t, s.Spreads, 1)
	assert.Equal(t, "source.vacuum", s.Spreads[0].Path)
	assert.InEpsilon(t, 13*si.InchOfMercury, s.Spreads[0].Value, 1e-6)
	assert.InEpsilon(t, 2*si.InchOfMercury, s.Spreads[0].HalfWidth, 1e-6)
	assert.True(t, s.Config.Source.InGear)

	bench, err := Read(strings.NewReader("[source]\nkind = \"bench\"\nvacuum = \"10 inHg\"\nvacuum_in_neutral = \"15 inHg\""), "bench")
	require.NoError(t, err)
	assert.Len(t, bench.Warnings, 1, "a bench has no gears")
	assert.Empty(t, bench.Spreads)
}
