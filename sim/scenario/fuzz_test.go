package scenario_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"kneepoint/sim/scenario"
)

// FuzzDecode holds two things for any document and flag: nothing panics, and what
// is accepted can be run and written.
func FuzzDecode(f *testing.F) {
	f.Add(car, "")
	f.Add(document(tables()), "press[0].pedal=20 lbf")
	for _, c := range malformed {
		f.Add(c.doc, strings.Join(c.flags, ""))
	}
	f.Fuzz(func(t *testing.T, doc, flag string) {
		var flags []string
		if flag != "" {
			flags = []string{flag}
		}
		s, err := scenario.Read(strings.NewReader(doc), "car.toml", flags...)
		if err != nil {
			var input *scenario.InputError
			require.True(t, errors.As(err, &input))
			require.NotEmpty(t, input.Problems)
			for _, p := range input.Problems {
				require.NotContains(t, p.String(), "\n")
				require.NotEmpty(t, p.Key)
			}
			return
		}
		for _, p := range s.Config.Check() {
			require.False(t, p.Fatal, "%v", p)
		}
		requireFinite(t, s)
		again, err := scenario.Read(strings.NewReader(s.String()), "again.toml")
		require.NoError(t, err, "%s", s)
		require.Equal(t, s.Hash(), again.Hash(), "%s", s)
	})
}

// FuzzEdit changes a path of a complete car, as the page and a sweep do: it is the
// same as the flag, or refused by name, and the car that was changed stays as it was.
func FuzzEdit(f *testing.F) {
	for _, c := range [][2]string{
		{"source.vacuum", "11 inHg"}, {"booster.diameter", "8 in + 8 in"}, {"booster.kind", "none"},
		{"reservoir", ""}, {"press[0].pedal", "20 lbf"}, {"press[9].pedal", "1 N"}, {"choose.boosters", "7 in, none"},
		{"fault[0].name", "hose-leak"}, {"title", "\x00\"\\"}, {"", ""}, {"a.b[", "1"}, {"pedal.ratio", "4 ± 0.1"},
	} {
		f.Add(c[0], c[1])
	}
	s, err := scenario.Builtin()
	require.NoError(f, err)
	before := s.Hash()
	f.Fuzz(func(t *testing.T, path, value string) {
		changed, err := s.With(path, value)
		if s.Hash() != before {
			t.Fatalf("%q = %q changed what it was made from", path, value)
		}
		if err != nil {
			var input *scenario.InputError
			require.True(t, errors.As(err, &input), "%v", err)
			return
		}
		requireFinite(t, changed)
		if set, err := scenario.ParseSetting(path + "=" + value); err == nil && set.Path == path && set.Value == value {
			flagged, err := scenario.Builtin(path + "=" + value)
			require.NoError(t, err)
			require.Equal(t, flagged.Hash(), changed.Hash())
		}
		again, err := scenario.Read(strings.NewReader(changed.String()), "again.toml")
		require.NoError(t, err, "%s", changed)
		require.Equal(t, changed.Hash(), again.Hash(), "%s", changed)
		if _, err := s.Edit(nil, path); err != nil {
			var input *scenario.InputError
			require.True(t, errors.As(err, &input), "%v", err)
		}
	})
}
