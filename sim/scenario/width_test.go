package scenario

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestATolerancePastWhatCanBeIsRefused(t *testing.T) {
	t.Parallel()
	for setting, says := range map[string]string{
		"source.vacuum=10 inHg ± 100":   `source.vacuum: read "10 inHg ± 100", which reaches to -90 inHg,`,
		"source.vacuum=10 inHg ± 11":    `source.vacuum: read "10 inHg ± 11", which reaches to -1 inHg,`,
		"pedal.ratio=4 ± 5":             `pedal.ratio: read "4 ± 5", which reaches to -1,`,
		"booster.diameter=9 in ± 12 in": `booster.diameter: read "9 in ± 12 in", which reaches to -3 in,`,
	} {
		_, err := Builtin(setting)
		if assert.Error(t, err, setting) {
			assert.Contains(t, err.Error(), says)
			assert.Contains(t, err.Error(), "want a tolerance that ends at what can be: ")
		}
	}
	for _, setting := range []string{"source.vacuum=10 inHg ± 1", "source.vacuum=17-18 inHg", "reserve.deceleration=0.25 g ± 0.25", "pedal.ratio=4 ± 0.5"} {
		_, err := Builtin(setting)
		require.NoError(t, err, setting)
	}
}
