package study

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// What says that it holds for the brakes when both circuits work is of the car with both,
// and what is said of a car that has lost one says so first.
func TestLostCircuitIsMendedFirst(t *testing.T) {
	whole, err := scenario.Builtin(`choose.boosters=["9 in"]`, `choose.pumps=[false]`, `choose.bores=["1 in"]`)
	require.NoError(t, err)
	lost, err := whole.With("circuit.front.lost", "true")
	require.NoError(t, err)

	sound, err := Balance(t.Context(), whole, nil)
	require.NoError(t, err)
	still, err := Balance(t.Context(), lost, nil)
	require.NoError(t, err)
	require.Equal(t, len(sound.Cases), len(still.Cases))
	for i := range sound.Cases {
		assert.Equal(t, sound.Cases[i].FirstLock, still.Cases[i].FirstLock)
	}

	wanted, found := chosen(t, whole), chosen(t, lost)
	require.Equal(t, len(wanted.Options), len(found.Options))
	for i := range wanted.Options {
		assert.Equal(t, fmt.Sprint(wanted.Options[i].Performance), fmt.Sprint(found.Options[i].Performance))
	}

	curve, err := Curve(t.Context(), lost, CurveOptions{})
	require.NoError(t, err)
	reserve, err := Reserve(t.Context(), lost, nil)
	require.NoError(t, err)
	manual, err := lost.With("booster.kind", "none")
	require.NoError(t, err)
	bare, err := Reserve(t.Context(), manual, nil)
	require.NoError(t, err)
	assert.Equal(t, mendFirst, bare.Screen(si.US).Next)
	for _, words := range [][]string{bare.Words(si.US), bare.Screen(si.US).Verdict, curve.Words(si.US), curve.Screen(si.US).Verdict, reserve.Words(si.US), reserve.Screen(si.US).Verdict, found.Words(si.US), found.Screen(si.US).Verdict} {
		assert.Contains(t, words[0], "the front circuit is lost")
	}
	assert.Contains(t, strings.Join(still.Words(si.US), " "), "A circuit is lost")
	for _, words := range [][]string{wanted.Words(si.US), sound.Words(si.US)} {
		assert.NotContains(t, strings.Join(words, " "), "lost in")
	}
}
