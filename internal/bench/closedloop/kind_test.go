package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// No car of the fleet carries a shortage of vacuum that nobody drew, whatever its own figures
// are; the kinds that are short as they are written are told of by themselves.
func TestSoundCarsAreNotShortOfVacuum(t *testing.T) {
	raised := 0
	for _, kind := range kinds {
		written, err := open(kind)
		require.NoError(t, err)
		short, err := isShort(t.Context(), written, written.Config)
		require.NoError(t, err)
		s, isRaised, err := withEnough(t.Context(), written)
		require.NoError(t, err)
		assert.Equal(t, short, isRaised, kind)
		if isRaised {
			raised++
			assert.Greater(t, s.Config.SourceVacuum(), written.Config.SourceVacuum(), kind)
		}
		l := &loop{base: s, faults: canHave(&s.Config), seed: 1}
		for n := range 3 {
			c, err := l.draw(t.Context(), n)
			require.NoError(t, err)
			short, err := isShort(t.Context(), s, c.before)
			require.NoError(t, err)
			assert.False(t, short, "%s, car %d", kind, n)
		}
	}
	assert.Positive(t, raised, "none is left that is short as it is written")
}

// The cars that are short of vacuum have one fault beside, another each.
func TestNumberOfSingle(t *testing.T) {
	last := -1
	for n := range 40 {
		i := numberOfSingle(n)
		assert.Equal(t, single, kindOf(i))
		assert.Greater(t, i, last)
		last = i
	}
}
