package study

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/si"
)

// With the vacuum that curve says an easy hard stop needs it is easy, and with a gauge's
// step less it is not. It lies between the 12 inHg below which a hard pedal is common and
// the 18 that boosters are said to want at most (common practice, no source).
func TestEasyVacuumIsTheEdge(t *testing.T) {
	for _, flags := range [][]string{{"source.vacuum=9 inHg"}, {"source.vacuum=11 inHg", "booster.diameter=9 in", "pedal.ratio=4.5"}} {
		s := typical(t, flags...)
		r, err := Curve(t.Context(), s, CurveOptions{})
		require.NoError(t, err)
		require.True(t, r.EasyVacuum.Exists())
		v := r.EasyVacuum.Value()
		t.Logf("%v: %.1f inHg", flags, float64(v/si.InchOfMercury))
		assert.Greater(t, float64(v/si.InchOfMercury), 12.0, "%v", flags)
		assert.LessOrEqual(t, float64(v/si.InchOfMercury), 18.0, "%v", flags)
		for vacuum, easy := range map[si.Vacuum]bool{v: true, v - 0.5*si.InchOfMercury: false} {
			again, err := Curve(t.Context(), s, CurveOptions{Vacua: []si.Vacuum{vacuum}})
			require.NoError(t, err)
			assert.Equal(t, easy, again.Curves[0].HardStopPedal.Value() <= verdictEasy, "%v at %v", flags, vacuum)
		}
	}
	easy, err := Curve(t.Context(), typical(t, "source.vacuum=20 inHg"), CurveOptions{})
	require.NoError(t, err)
	assert.False(t, easy.EasyVacuum.Exists(), "there is nothing to look for")
}

const verdictEasy = 60 * 4.4482216152605 // N: 60 lbf
