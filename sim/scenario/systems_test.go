package scenario_test

import (
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

// inBoth draws the same car twice, its quantities written in the one system and in
// the other, to every digit that a number has.
func inBoth(t *rapid.T) (us, metric string) {
	type unit struct {
		name string
		size float64 // in SI
	}
	const inch, lbf, psi = 0.0254, 4.4482216152605, 6894.757293168361
	const inHg = 13595.1 * 9.80665 * inch // the conventional one
	area := [2]unit{{"in2", inch * inch}, {"mm2", 1e-6}}
	force := [2]unit{{"lbf", lbf}, {"N", 1}}
	volume := [2]unit{{"in3", inch * inch * inch}, {"L", 1e-3}}
	length := [2]unit{{"in", inch}, {"mm", 1e-3}}
	vacuum := [2]unit{{"inHg", inHg}, {"kPa", 1e3}}
	rate := [2]unit{{"lbf/in", lbf / inch}, {"N/mm", 1e3}}
	compliance := [2]unit{{"in3/psi", inch * inch * inch / psi}, {"cm3/MPa", 1e-12}}
	var texts [2]strings.Builder
	both := func(line string) {
		for i := range texts {
			texts[i].WriteString(line + "\n")
		}
	}
	draw := func(key string, units [2]unit, from, to float64) {
		v := rapid.Float64Range(from, to).Draw(t, key)
		for i, u := range units {
			fmt.Fprintf(&texts[i], "%s = \"%s %s\"\n", key, strconv.FormatFloat(v/u.size, 'g', -1, 64), u.name)
		}
	}
	both("[ambient]")
	draw("altitude", [2]unit{{"ft", 0.3048}, {"m", 1}}, 0, 1500)
	both("[source]\nkind = " + rapid.SampledFrom([]string{`"bench"`, `"engine"`}).Draw(t, "source"))
	draw("vacuum", vacuum, 20e3, 65e3)
	both("[booster]")
	draw("area", area, 0.02, 0.07)
	draw("front_volume", volume, 2.8e-3, 5e-3)
	draw("jump_in", force, 100, 900)
	draw("spring", force, 120, 200)
	draw("spring_rate", rate, 1e3, 4e3)
	draw("stroke", length, 30e-3, 40e-3)
	both("[pedal]\nratio = 4\n[hose]")
	draw("area", area, 8e-6, 30e-6)
	both("[reservoir]")
	draw("volume", volume, 0.5e-3, 4e-3)
	both("[master]")
	draw("bore", length, 20e-3, 28e-3)
	both("[circuit.front]")
	draw("take_up", volume, 0.3e-6, 2e-6)
	draw("compliance", compliance, 0.1e-12, 0.5e-12)
	both("[[press]]\nat = \"1 s\"")
	draw("pedal", force, 50, 500)
	both("[[event]]\nat = \"2 s\"\nengine = \"off\"")
	return texts[0].String(), texts[1].String()
}

// TestBothSystemsAreOneCar holds that a car written in US units is the car written
// in metric ones: each figure to twelve digits, and what it does within ten times
// the solver's tolerance.
func TestBothSystemsAreOneCar(t *testing.T) {
	differs := 0
	rapid.Check(t, func(t *rapid.T) {
		us, metric := inBoth(t)
		a, b := read(t, us), read(t, metric)
		sameFigures(t, "config", reflect.ValueOf(a.Config), reflect.ValueOf(b.Config))
		if !reflect.DeepEqual(a.Config, b.Config) {
			differs++
		}
		states := func(c sim.Config, s sim.Schedule) []sim.State {
			m, err := sim.New(c)
			require.NoError(t, err)
			run, err := m.Run(t.Context(), s)
			require.NoError(t, err)
			return run.Every(0.25)
		}
		const within = 10 * sim.DefaultTolerance
		want, got := states(a.Config, a.Schedule()), states(b.Config, b.Schedule())
		require.Len(t, got, len(want))
		for i := range want {
			for _, p := range [][2]si.Vacuum{
				{want[i].FrontVacuum, got[i].FrontVacuum}, {want[i].WorkingVacuum, got[i].WorkingVacuum},
				{want[i].ReservoirVacuum, got[i].ReservoirVacuum},
			} {
				assert.InDelta(t, float64(p[0]), float64(p[1]), within*float64(a.Config.Ambient.Pressure))
			}
			const line = 10e6 // Pa, what a hard press gives
			assert.InDelta(t, float64(want[i].Line), float64(got[i].Line), within*line)
		}
	})
	assert.Greater(t, differs, 0, "the two are not compared with themselves")
}

// sameFigures compares every number of two values to twelve digits.
func sameFigures(t *rapid.T, path string, a, b reflect.Value) {
	switch a.Kind() {
	case reflect.Struct:
		for i := range a.NumField() {
			sameFigures(t, path+"."+a.Type().Field(i).Name, a.Field(i), b.Field(i))
		}
	case reflect.Slice:
		require.Equal(t, a.Len(), b.Len(), path)
		for i := range a.Len() {
			sameFigures(t, fmt.Sprintf("%s[%d]", path, i), a.Index(i), b.Index(i))
		}
	case reflect.Float64:
		x, y := a.Float(), b.Float()
		assert.LessOrEqual(t, math.Abs(x-y), 1e-12*max(math.Abs(x), math.Abs(y)), path)
	default:
		require.Equal(t, a.Interface(), b.Interface(), path)
	}
}
