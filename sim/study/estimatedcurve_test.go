package study

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// An estimated vacuum is drawn at both ends of its band, never as one curve.
func TestCurveOfAnEstimatedVacuum(t *testing.T) {
	s := garage(t, "unmeasured-cam")
	low, high, ok := s.EstimatedVacuum()
	require.True(t, ok)
	r, err := Curve(context.Background(), s, CurveOptions{})
	require.NoError(t, err)
	require.Len(t, r.Curves, 3)
	for i, want := range []si.Vacuum{low, (low + high) / 2, high} {
		assert.InDelta(t, float64(want), float64(r.Curves[i].Vacuum.Value()), 1)
	}
	assert.Less(t, r.Curves[0].Knee.Line.Value(), r.Curves[1].Knee.Line.Value())
	assert.Less(t, r.Curves[1].Knee.Line.Value(), r.Curves[2].Knee.Line.Value())
	words := r.Words(si.US)
	assert.Contains(t, words[0], "estimated "+si.FormatSpan(si.DimVacuum, float64(low), float64(high), si.US)+"; measure it")

	// Where a vacuum is asked for, or was measured, nothing is estimated.
	measured, err := s.With("source.vacuum", "12 inHg")
	require.NoError(t, err)
	for _, c := range []struct {
		s *scenario.Scenario
		o CurveOptions
	}{
		{s, CurveOptions{Vacua: []si.Vacuum{12 * si.InchOfMercury}}}, {measured, CurveOptions{}},
	} {
		r, err := Curve(context.Background(), c.s, c.o)
		require.NoError(t, err)
		require.Len(t, r.Curves, 1)
		assert.NotContains(t, strings.Join(r.Words(si.US), " "), "estimated")
	}
	none, err := s.Edit([]scenario.Setting{{Path: "booster.kind", Value: "none"}}, "booster")
	require.NoError(t, err)
	r, err = Curve(context.Background(), none, CurveOptions{})
	require.NoError(t, err)
	assert.Len(t, r.Curves, 1, "a manual pedal hangs on no vacuum")
}

// The band reaches down to no vacuum at all with a cam big enough.
func TestCurveDownToNoVacuum(t *testing.T) {
	s := garage(t, "unmeasured-cam", "cam.duration=320")
	low, _, ok := s.EstimatedVacuum()
	require.True(t, ok)
	require.Zero(t, low)
	r, err := Curve(context.Background(), s, CurveOptions{})
	require.NoError(t, err)
	assert.False(t, r.Curves[0].Knee.Pedal.Exists())
	assert.Contains(t, r.Words(si.US)[0], "estimated 0.0 to ")
}

// How sure the stops are takes in the whole band, and says what it is.
func TestSuretyOfAnEstimatedVacuum(t *testing.T) {
	s := garage(t, "unmeasured-cam")
	inputs := uncertain(s)
	require.Len(t, inputs, 1)
	assert.Contains(t, spreadText(inputs[0], si.US), "source.vacuum estimated ")
	assert.Contains(t, spreadText(inputs[0], si.US), "(measure it)")
	low, high, _ := s.EstimatedVacuum()
	for _, c := range []struct {
		u    float64
		want si.Vacuum
	}{{0, low}, {0.5, (low + high) / 2}, {1, high}} {
		car, err := drawn(s, inputs, []float64{c.u})
		require.NoError(t, err)
		assert.InDelta(t, float64(c.want), float64(car.Config.Source.Vacuum), 1e-6)
	}
}
