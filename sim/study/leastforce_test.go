package study

import (
	"kneepoint/internal/verdict"

	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// bent is what a pedal reaches: nothing up to a cut-in, steep to a knee, flat beyond.
type bent struct{ cutIn, jump, knee, steep, flat float64 }

func (b bent) at(f float64) float64 {
	v := b.steep * min(max(0, f-b.cutIn), b.knee-b.cutIn)
	if f > b.cutIn {
		v += b.jump
	}
	return v + b.flat*max(0, f-b.knee)
}

// where is the closed form of the force at which a level is reached.
func (b bent) where(level float64) float64 {
	top := b.at(b.knee)
	switch {
	case level <= b.jump:
		return b.cutIn
	case level <= top:
		return b.cutIn + (level-b.jump)/b.steep
	}
	return b.knee + (level-top)/b.flat
}

func TestLeastForceOnBentLines(t *testing.T) {
	most := 0
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string, from, to float64) float64 { return rapid.Float64Range(from, to).Draw(t, name) }
		b := bent{cutIn: draw("cut-in", 0, 60), jump: draw("jump", 0, 3), steep: draw("steep", 1, 10) / 100, flat: draw("flat", 0.5, 2) / 100}
		b.knee = b.cutIn + draw("to the knee", 1, 600)
		level := draw("level", 0.05, 60)
		want := b.where(level)
		tries := 0
		got, err := leastForce(draw("guess", 0, 3000), level, anyNext, func(f float64) (float64, error) {
			tries++
			return b.at(f), nil
		})
		require.NoError(t, err)
		most = max(most, tries)
		if want > float64(verdict.HardestPedal) {
			require.False(t, got.Exists(), "at %g", want)
			return
		}
		require.True(t, got.Exists(), "at %g", want)
		assert.GreaterOrEqual(t, float64(got.Value()), want-1e-9, "on its upper side")
		assert.LessOrEqual(t, float64(got.Value()), want+max(forceWithin, demandWithin*level/b.flat)+1e-9)
		assert.Less(t, tries, 40)
	})
	t.Logf("at most %d tries", most)
}

func TestLeastForceFollowsAGoodGuess(t *testing.T) {
	tries := 0
	got, err := leastForce(200, 5, anyNext, func(f float64) (float64, error) {
		tries++
		return f / 41, nil
	})
	require.NoError(t, err)
	assert.InDelta(t, 205, float64(got.Value()), forceWithin)
	assert.LessOrEqual(t, tries, 4)
}

func TestLeastForcePassesOnAnError(t *testing.T) {
	_, err := leastForce(100, 1, anyNext, func(float64) (float64, error) { return math.NaN(), assert.AnError })
	assert.ErrorIs(t, err, assert.AnError)
}
