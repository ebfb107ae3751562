package study

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/si"
)

func swept(t *testing.T, name string, axes ...SweepAxis) *SweepResult {
	t.Helper()
	m, ok := MeasureOf(name)
	require.True(t, ok)
	r, err := Sweep(context.Background(), bigCam(t), axes, m, nil)
	require.NoError(t, err)
	return r
}

func TestSweepEqualsTheStudyAtEachPoint(t *testing.T) {
	vacua := SweepAxis{"source.vacuum", si.DimVacuum, []float64{20e3, 40e3, 60e3}}
	tanks := SweepAxis{"reservoir.volume", si.DimVolume, []float64{0, 2e-3}}
	r := swept(t, "needed_pedal", vacua, tanks)
	require.Len(t, r.Values, 6)
	for i, v := range r.Values {
		at := r.at(i)
		car := bigCam(t, "source.vacuum="+si.Vacuum(at[0]).String())
		if at[1] > 0 {
			car = bigCam(t, "source.vacuum="+si.Vacuum(at[0]).String(), "reservoir.volume=2 L")
		}
		stops, err := Reserve(context.Background(), car, nil)
		require.NoError(t, err)
		assert.Equal(t, float64(stops.Stops[0].Needed.Value()), v, "%v", at)
	}
}

// Where none of the stops made fails, their number is a lower bound, and is said to be one.
func TestCappedCountsAreSaidToBeOne(t *testing.T) {
	m, _ := MeasureOf("assisted_stops")
	vacua := SweepAxis{"source.vacuum", si.DimVacuum, []float64{5e3, 60e3}}
	tanks := SweepAxis{"reservoir.volume", si.DimVolume, []float64{0, 20e-3}}
	r, err := Sweep(context.Background(), typical(t, "reserve.stops=4"), []SweepAxis{vacua, tanks}, m, nil)
	require.NoError(t, err)
	require.Len(t, r.Capped, 4)
	for i, v := range r.Values {
		assert.Equal(t, v == 4, r.Capped[i], "%v", r.at(i))
	}
	require.True(t, r.Capped[3])
	require.False(t, r.Capped[0])
	assert.Contains(t, r.Words(si.US)[0], "to at least 4 at")
	table := r.Tables()[0]
	assert.Equal(t, "capped", table.Columns[3].Key)
	assert.Equal(t, true, table.Rows[3][3])
	assert.Equal(t, "assisted stops (4: at least)", r.Figures()[0].Panels[0].Field.Label)
	assert.Nil(t, swept(t, "needed_pedal", vacua).Capped, "a force is no count")
}

func TestImpossiblePointsAreBlank(t *testing.T) {
	r := swept(t, "knee_line", SweepAxis{"source.vacuum", si.DimVacuum, []float64{40e3, 120e3}})
	assert.False(t, math.IsNaN(r.Values[0]))
	assert.True(t, math.IsNaN(r.Values[1]))
	assert.Equal(t, 1, r.Impossible)
	assert.Contains(t, r.Words(si.US)[1], "cannot be built")
}

func TestEvenHasItsEnds(t *testing.T) {
	assert.Equal(t, []float64{1, 2, 3}, Even(1, 3, 3))
}

func TestCountsHaveContoursBetweenThem(t *testing.T) {
	assert.Equal(t, []float64{1.5, 2.5}, between([]float64{1, 3, 2, math.NaN()}))
	assert.Empty(t, between([]float64{2, 2}))
}
