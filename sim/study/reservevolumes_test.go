package study

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/si"
)

// The default's volumes are those of the booster that was measured (testdata/published.toml,
// booster_volumes), and front chambers of the usual sizes hold a full stroke.
func TestDefaultVolumesAreTheMeasuredOnes(t *testing.T) {
	p := publishedFigures(t).BoosterVolumes
	stroke := sim.Typical().Booster.Stroke
	front, rear := sim.VolumesOf(p.Area.is, stroke)
	assert.InEpsilon(t, float64(p.Front.is), float64(front), 1e-3)
	assert.InEpsilon(t, float64(p.Rear.is), float64(rear), 2e-3)
	for _, size := range []string{"7 in", "9 in", "11 in", "7 in + 7 in", "8 in + 9 in"} {
		for _, stroke := range []string{"25 mm", "38 mm", "55 mm"} {
			s := typical(t, "booster.diameter="+size, "booster.stroke="+stroke)
			b := s.Config.Booster
			assert.Greater(t, float64(b.FrontVolume), float64(b.Area)*float64(b.Stroke), "%s, %s", size, stroke)
			assert.Empty(t, s.Warnings, "%s, %s", size, stroke)
		}
	}
}

// The ends of the range are what the same car has with these volumes typed in, for the
// same demand.
func TestVolumesNotGivenMakeARange(t *testing.T) {
	for _, flags := range [][]string{
		{"reserve.deceleration=0.5 g"},
		{"reserve.deceleration=0.5 g", "source.vacuum=11 inHg"},
		{"reserve.deceleration=0.5 g", "reservoir.volume=2 L"},
		{"reserve.deceleration=0.5 g", "booster.diameter=8 in + 9 in", "booster.rear_volume=0.5 L"},
		{"reserve.deceleration=0.5 g", "reserve.stops=2"},
	} {
		r := reserveOf(t, typical(t, flags...))
		v := r.VolumeRange
		require.NotNil(t, v, "%v", flags)
		assert.Equal(t, r.AssistedStops, v.LowStops)
		b := r.config.Booster
		low := reserveOf(t, typical(t, append([]string{flag("booster.front_volume", v.LowFrontVolume), flag("booster.rear_volume", b.RearVolume)}, flags...)...))
		_, roomyRear := sim.RoomyVolumesOf(b.Area)
		if strings.Contains(strings.Join(flags, " "), "rear_volume") {
			roomyRear = b.RearVolume
		}
		high := reserveOf(t, typical(t, append(flags, flag("booster.front_volume", v.HighFrontVolume), flag("booster.rear_volume", roomyRear))...))
		assert.Equal(t, low.AssistedStops, v.LowStops, "%v", flags)
		assert.Equal(t, high.AssistedStops, v.HighStops, "%v", flags)
		assert.Equal(t, []int{low.EasyStops, low.HeavyStops, high.EasyStops, high.HeavyStops}, []int{v.LowEasy, v.LowHeavy, v.HighEasy, v.HighHeavy}, "%v", flags)
		assert.GreaterOrEqual(t, v.HighStops, v.LowStops, "%v", flags)
		assert.Nil(t, high.VolumeRange, "the volumes are given")
		t.Logf("%v: %d to %d assisted, %s", flags, v.LowStops, v.HighStops, verdict.Between(v.low, v.high))
	}
	assert.Nil(t, reserveOf(t, typical(t, "booster.kind=none")).VolumeRange)
}

// A demand that the pedal force sets is the low end's at both ends: what the roomy car
// would give at that pedal is another one.
func TestVolumeRangeHasOneDemand(t *testing.T) {
	r := reserveOf(t, garage(t, "stock-ten-inch"))
	v := r.VolumeRange
	car := garage(t, "stock-ten-inch", flag("booster.front_volume", v.HighFrontVolume), "booster.rear_volume=0.6 L")
	one := &ReserveResult{settings: car.Reserve, config: car.Config}
	require.NoError(t, one.simulate(t.Context(), stopping{line: r.demandLine()}, nil))
	assert.Equal(t, one.AssistedStops, v.HighStops)
	// Common practice (testdata/published.toml, stops_left): 2 to 4 at 20 inHg.
	p := publishedFigures(t).StopsLeft
	assert.Equal(t, []int{p.From, p.To}, []int{v.LowStops, v.HighStops})
	assert.Contains(t, r.Words(si.US)[0], "2 to 3 stops are easy, and 2 to 4 at most heavy")
	assert.Contains(t, strings.Join(r.Words(si.US), "\n"), "kneepoint fit")
}

func TestVolumeRangeInJSON(t *testing.T) {
	text, err := json.Marshal(reserveOf(t, garage(t, "stock-ten-inch")).Document())
	require.NoError(t, err)
	var d struct {
		VolumeRange map[string]float64 `json:"volume_range"`
	}
	require.NoError(t, json.Unmarshal(text, &d))
	for _, key := range []string{"front_volume_low_m3", "front_volume_high_m3", "low_assisted_stops", "high_assisted_stops"} {
		assert.Positive(t, d.VolumeRange[key], key)
	}
	text, err = json.Marshal(reserveOf(t, garage(t, "stock-ten-inch", "booster.front_volume=2 L")).Document())
	require.NoError(t, err)
	assert.NotContains(t, string(text), "volume_range")
}
