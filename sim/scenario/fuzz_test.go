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
