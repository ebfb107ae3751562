package study

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/answertest"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// decode reads back the document of a study.
func decode(t *testing.T, a answer.Answer) map[string]any {
	t.Helper()
	return answertest.Decode(t, a, plain...)
}

// plain are the keys of numbers that have no unit.
var plain = []string{
	"ratio", "run_out_slope", "pedal_ratio", "assisted_stops", "easy_stops", "heavy_stops", "stop",
	"low_assisted_stops", "high_assisted_stops", "low_easy_stops", "high_easy_stops", "low_heavy_stops", "high_heavy_stops",
	"assist_share", "assist_share_at_needed", "air_valve_open", "vacuum_valve_open", "running_share",
}

var pointKeys = []string{"pedal_n", "input_n", "output_n", "line_pa", "releasing"}

func checkCurveDocument(t *testing.T, c map[string]any) {
	t.Helper()
	answertest.HasKeys(t, c, "vacuum_pa", "ambient_pa", "ratio", "cut_in", "jump_in", "knee", "hard_stop", "hard_stop_pedal_n", "run_out_slope", "hysteresis_n", "points")
	answertest.HasKeys(t, c["cut_in"], "pedal_n", "input_n")
	answertest.HasKeys(t, c["jump_in"], "output_n")
	if c["knee"] != nil {
		answertest.HasKeys(t, c["knee"], "pedal_n", "input_n", "output_n", "line_pa")
	}
	answertest.HasKeys(t, c["hard_stop"], "deceleration_mps2", "pedal_n", "line_pa", "limited_by")
	assert.Equal(t, c["hard_stop"].(map[string]any)["pedal_n"], c["hard_stop_pedal_n"])
	points := c["points"].([]any)
	require.NotEmpty(t, points)
	pressing := 0
	for _, p := range points {
		answertest.HasKeys(t, p, pointKeys...)
		if !p.(map[string]any)["releasing"].(bool) {
			pressing++
		}
	}
	assert.Equal(t, len(points)/2, pressing)
	// It presses on to the larger of 1.3 × the knee's input and 500 N at the pedal.
	last := points[pressing-1].(map[string]any)
	assert.GreaterOrEqual(t, last["pedal_n"].(float64), 500-1e-6)
	if knee, ok := c["knee"].(map[string]any); ok {
		knee := knee["input_n"].(float64)
		assert.GreaterOrEqual(t, last["input_n"].(float64), 1.3*knee-1)
	}
}

func TestCurveDocument(t *testing.T) {
	for _, c := range []struct {
		name  string
		flags []string
		nulls []string // top keys that do not exist, and the knee
		knee  bool
	}{
		{"stock-ten-inch", nil, nil, true},
		{"big-cam-seven", nil, nil, true},
		{"bench-ten-inch", nil, nil, true},
		{"manual-pedal", nil, []string{"vacuum_pa", "ratio", "run_out_slope", "hysteresis_n"}, false},
		{"bench-ten-inch", []string{"source.vacuum=0 kPa"}, []string{"ratio", "run_out_slope", "hysteresis_n"}, false},
		{"bench-ten-inch", []string{"source.vacuum=5 kPa"}, []string{"ratio", "hysteresis_n"}, false},
		{"bench-ten-inch", []string{"booster.ratio=1"}, []string{"ratio", "hysteresis_n"}, false},
		{"bench-ten-inch", []string{"booster.ratio=12", "pedal.ratio=7"}, nil, true},
	} {
		t.Run(fmt.Sprint(c.name, c.flags), func(t *testing.T) {
			r, err := Curve(context.Background(), garage(t, c.name, c.flags...), CurveOptions{})
			require.NoError(t, err)
			d := decode(t, r)
			checkCurveDocument(t, d)
			answertest.HasKeys(t, d, "manual")
			answertest.HasKeys(t, d["manual"], "pedal_ratio", "bore_m", "points")
			for _, key := range []string{"vacuum_pa", "ratio", "run_out_slope", "hysteresis_n"} {
				null := false
				for _, k := range c.nulls {
					null = null || k == key
				}
				assert.Equal(t, null, d[key] == nil, "%s: %v", key, d[key])
			}
			assert.Equal(t, c.knee, d["knee"] != nil)
			assert.NotEmpty(t, r.Words(si.US))
			for _, w := range r.Words(si.US) {
				assert.NotContains(t, w, "NaN")
				assert.NotContains(t, w, "Inf")
			}
		})
	}
}

func TestCurveDocumentOfSeveralVacua(t *testing.T) {
	vacua := []si.Vacuum{67e3, 30e3, 0}
	r, err := Curve(context.Background(), garage(t, "stock-ten-inch"), CurveOptions{Vacua: vacua})
	require.NoError(t, err)
	d := decode(t, r)
	curves := d["curves"].([]any)
	require.Len(t, curves, len(vacua))
	for i, c := range curves {
		checkCurveDocument(t, c.(map[string]any))
		assert.InDelta(t, float64(vacua[i]), c.(map[string]any)["vacuum_pa"].(float64), 1e-6, "in the order asked for")
	}
	// Each is the curve of a car with that idle vacuum.
	one := curveOf(t, garage(t, "stock-ten-inch", flag("source.vacuum", vacua[1])))
	assert.InDelta(t, float64(one.Knee.Line.Value()), float64(r.Curves[1].Knee.Line.Value()), 1e-3*float64(one.Knee.Line.Value()))
}

// The vacuum asked for is that at the car, wherever the engine's own was read.
func TestCurveAtAVacuumOnAMountain(t *testing.T) {
	r, err := Curve(context.Background(), garage(t, "mountain"), CurveOptions{Vacua: []si.Vacuum{40e3}})
	require.NoError(t, err)
	assert.InDelta(t, 40e3, float64(r.Curves[0].Vacuum.Value()), 1e-6)
	assert.InDelta(t, 40e3, float64(r.Curves[0].kneeVacuum), 0.6e3, "less what the check valve keeps")
}

func TestReserveDocument(t *testing.T) {
	for _, c := range []struct {
		name  string
		flags []string
	}{
		{"stock-ten-inch", nil},
		{"manual-pedal", nil},
		{"bench-ten-inch", []string{"source.vacuum=0 kPa"}},
		{"dual-circuit", []string{"reserve.deceleration=2 g"}},
		{"stock-ten-inch", []string{"booster.ratio=1", "reserve.stops=1"}},
		{"stop-and-go", []string{"reserve.stops=3"}},
		{"big-cam-pump", []string{"reserve.stops=3"}},
	} {
		t.Run(fmt.Sprint(c.name, c.flags), func(t *testing.T) {
			s := garage(t, c.name, c.flags...)
			r := reserveOf(t, s)
			d := decode(t, r)
			answertest.HasKeys(t, d, "assisted_stops", "capped", "start_vacuum_pa", "stops")
			stops := d["stops"].([]any)
			assert.Len(t, stops, s.Reserve.Stops)
			for _, stop := range stops {
				answertest.HasKeys(t, stop, "stop", "vacuum_before_pa", "vacuum_after_pa", "pedal_n", "needed_pedal_n", "line_pa", "assist_share", "assisted")
			}
			if c.name == "big-cam-pump" {
				answertest.HasKeys(t, d["pump"], "first_fill_s", "refill_s", "running_share", "steady_vacuum_pa")
			} else {
				assert.Contains(t, d, "pump")
				assert.Nil(t, d["pump"])
			}
			none := c.name == "manual-pedal"
			assert.Equal(t, none, d["start_vacuum_pa"] == nil)
			assert.Equal(t, none, stops[0].(map[string]any)["vacuum_before_pa"] == nil)
			for _, w := range r.Words(si.SI) {
				assert.NotContains(t, w, "NaN")
			}
		})
	}
	d := decode(t, reserveOf(t, garage(t, "dual-circuit", "reserve.deceleration=2 g")))
	assert.Nil(t, d["stops"].([]any)[0].(map[string]any)["needed_pedal_n"], "out of reach")
}

// A run's columns have one value a sample, and null for what the car has not.
func TestRunDocument(t *testing.T) {
	for _, name := range []string{"stock-ten-inch", "manual-pedal", "big-cam-reservoir"} {
		s := garage(t, name)
		r, err := Run(context.Background(), s, RunOptions{Every: 0.05})
		require.NoError(t, err)
		d := decode(t, r)
		keys := []string{"time_s", "pedal_n", "input_n", "output_n", "line_front_pa", "line_rear_pa", "front_vacuum_pa",
			"working_vacuum_pa", "reservoir_vacuum_pa", "manifold_vacuum_pa", "hub_m", "pedal_travel_m"}
		n := int(math.Round(float64(s.Schedule().Until)/0.05)) + 1
		for _, k := range keys {
			require.Contains(t, d, k, name)
			assert.Len(t, d[k].([]any), n, "%s: %s", name, k)
		}
		assert.Equal(t, name != "big-cam-reservoir", d["reservoir_vacuum_pa"].([]any)[0] == nil, name)
		assert.Equal(t, name == "manual-pedal", d["front_vacuum_pa"].([]any)[0] == nil, name)
		// The order of a table's columns is the fixed one.
		for i, column := range r.Tables()[0].Columns[:len(keys)] {
			assert.Equal(t, keys[i], column.Key+column.Dim.Unit(si.SI).KeySuffix)
		}
	}
}
