package study

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/answertest"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

func compared(t *testing.T, settings ...string) *CompareResult {
	t.Helper()
	var cars []ComparedCar
	for _, set := range append([]string{""}, settings...) {
		flags := []string{"reserve.stops=1"}
		if set != "" {
			flags = append(flags, set)
		}
		s, err := scenario.Builtin(flags...)
		require.NoError(t, err)
		cars = append(cars, ComparedCar{Name: "car " + set, Scenario: s})
	}
	r, err := Compare(context.Background(), cars, nil)
	require.NoError(t, err)
	return r
}

// Each car's answers are those that the studies give of it alone, in the order given.
func TestCompareAsksEachCar(t *testing.T) {
	t.Parallel()
	r := compared(t, "booster.diameter=8 in", "booster.kind=none")
	require.Len(t, r.Cars, 3)
	for _, car := range r.Cars {
		curve, err := Curve(context.Background(), car.Scenario, CurveOptions{})
		require.NoError(t, err)
		reserve, err := Reserve(context.Background(), car.Scenario, nil)
		require.NoError(t, err)
		assert.Equal(t, answertest.Decode(t, curve, plain...), answertest.Decode(t, car.Curve, plain...), car.Name)
		assert.Equal(t, answertest.Decode(t, reserve, plain...), answertest.Decode(t, car.Reserve, plain...), car.Name)
	}
	rows := r.Tables()[1].Rows
	assert.Len(t, rows, 3)
	assert.Nil(t, rows[2][2], "no knee without a booster")
	assert.Len(t, r.Figures()[0].Panels[0].Curves, 3)
}

// What was given comes first, what follows from it after; a key without a meaning has no
// value.
func TestDifferencesBeginWithWhatWasGiven(t *testing.T) {
	t.Parallel()
	r := compared(t, "booster.diameter=8 in", "booster.kind=none")
	byKey, followed := map[string]Difference{}, false
	for _, d := range r.Differences {
		byKey[d.Key] = d
		assert.False(t, followed && d.Given, "%s was given and stands behind what follows", d.Key)
		followed = followed || !d.Given
	}
	require.Contains(t, byKey, "booster.diameter")
	assert.True(t, byKey["booster.diameter"].Given)
	assert.Nil(t, byKey["booster.diameter"].Entries[2])
	assert.Equal(t, "—", byKey["booster.diameter"].value(2, si.US))
	assert.True(t, byKey["booster.kind"].Given)
	assert.False(t, byKey["booster.area"].Given)
	assert.NotContains(t, byKey, "pedal.ratio")
	assert.NotContains(t, byKey, "title")
}

// The same value in another unit is no difference.
func TestWhatIsOnlyWrittenOtherwiseIsNoDifference(t *testing.T) {
	t.Parallel()
	assert.Empty(t, compared(t, "booster.diameter=0.254 m").Differences)
}
