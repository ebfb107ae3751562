package chart

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestTickLabels(t *testing.T) {
	labels := func(lo, hi float64, want int) []string {
		var all []string
		for _, tick := range (labelled{want: want}).Ticks(lo, hi) {
			all = append(all, tick.Label)
		}
		return all
	}
	assert.Equal(t, []string{"0", "20", "40", "60"}, labels(0, 60, 4))
	assert.Equal(t, []string{"0.0", "0.5", "1.0"}, labels(0, 1.2, 3))
	assert.Equal(t, []string{"−0.25", "0.00", "0.25"}, labels(-0.35, 0.35, 3))
	assert.Equal(t, []string{"0", "500", "1000", "1500"}, labels(0, 1500, 3))
	assert.Equal(t, []string{"0", "5e+08", "1e+09"}, labels(0, 1e9, 2))
}

func TestAxisHoldsItsData(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var e extent
		e.add(rapid.SliceOf(rapid.Float64()).Draw(rt, "values")...)
		want := rapid.IntRange(2, 12).Draw(rt, "want")
		opened := e.opened()
		require.Less(rt, opened.lo, opened.hi)
		for name, got := range map[string]extent{"rounded": opened.rounded(want), "snapped": opened.snapped(want)} {
			slack := 1e-9 * math.Max(math.Abs(got.lo), math.Abs(got.hi))
			require.Less(rt, got.lo, got.hi, name)
			if e.any && math.Max(math.Abs(e.lo), math.Abs(e.hi)) >= 1e-100 {
				require.LessOrEqual(rt, got.lo, e.lo+slack, name)
				require.GreaterOrEqual(rt, got.hi, e.hi-slack, name)
			}
			values, _ := tickValues(got.lo, got.hi, want)
			require.NotEmpty(rt, values, name)
			require.LessOrEqual(rt, len(values), 2*want+3, name)
		}
	})
}

func TestOneValueGetsAnAxis(t *testing.T) {
	var e extent
	e.add(250, 250)
	assert.Equal(t, extent{lo: 125, hi: 375, any: true}, e.opened())
	assert.Equal(t, extent{lo: 0, hi: 1, any: true}, extent{}.opened())
}

func TestForceStartsAtZero(t *testing.T) {
	assert.Equal(t, 0.0, extent{lo: 40, hi: 500}.rounded(5).lo)
	assert.Greater(t, extent{lo: 450, hi: 500}.rounded(5).lo, 0.0)
}
