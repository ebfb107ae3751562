package scenario_test

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kneepoint/sim/scenario"
)

// drawDocument draws a scenario that is right: the least a car needs, and any
// other keys, within limits that suit each other.
func drawDocument(t *rapid.T) string {
	quantity := func(from, to float64, units ...string) *rapid.Generator[string] {
		return rapid.Custom(func(t *rapid.T) string {
			unit := rapid.SampledFrom(units).Draw(t, "unit")
			value := rapid.Float64Range(from, to).Draw(t, "value")
			text := fmt.Sprintf("%.6g %s", value, unit)
			// A tolerance must not reach below 0.
			if rapid.IntRange(0, 4).Draw(t, "tolerance") == 0 && value > 0.1 {
				text += " ± 0.05"
			}
			return `"` + text + `"`
		})
	}
	number := func(from, to float64) *rapid.Generator[string] {
		return rapid.Map(rapid.Float64Range(from, to), func(v float64) string { return fmt.Sprintf("%.6g", v) })
	}
	truth := rapid.Map(rapid.Bool(), func(b bool) string { return fmt.Sprint(b) })
	may := func(b *strings.Builder, key string, g *rapid.Generator[string]) {
		if rapid.Bool().Draw(t, "has "+key) {
			fmt.Fprintf(b, "%s = %s\n", key, g.Draw(t, key))
		}
	}
	var b strings.Builder
	may(&b, "title", rapid.Map(rapid.StringMatching(`[ -~äß"\\]{0,20}`), func(s string) string {
		return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(s) + `"`
	}))
	b.WriteString("[ambient]\n")
	may(&b, "altitude", quantity(0, 1000, "m", "ft"))
	b.WriteString("[source]\n")
	fmt.Fprintf(&b, "kind = %s\n", rapid.SampledFrom([]string{`"bench"`, `"engine"`}).Draw(t, "source"))
	fmt.Fprintf(&b, "vacuum = %s\n", quantity(13, 18, "inHg").Draw(t, "vacuum"))
	may(&b, "measured_in_gear", truth)
	may(&b, "displacement", quantity(100, 480, "in3"))
	b.WriteString("[booster]\n")
	if rapid.IntRange(0, 5).Draw(t, "none") == 0 {
		b.WriteString("kind = \"none\"\n")
	} else {
		fmt.Fprintf(&b, "diameter = %s\n", rapid.SampledFrom([]string{`"8 in"`, `["205 mm", "230 mm"]`, `"7 in + 8 in"`}).Draw(t, "diameter"))
		may(&b, "area", quantity(200, 700, "cm2"))
		may(&b, "ratio", number(1, 12))
		may(&b, "jump_in", quantity(0, 900, "N"))
	}
	if rapid.Bool().Draw(t, "pump") {
		b.WriteString("[pump]\n")
		may(&b, "free_flow", quantity(1, 30, "L/min", "cfm"))
	}
	if rapid.Bool().Draw(t, "reservoir") {
		b.WriteString("[reservoir]\n")
		may(&b, "volume", quantity(1, 4, "L", "qt"))
		may(&b, "place", rapid.SampledFrom([]string{`"engine side"`, `"booster side"`}))
	}
	fmt.Fprintf(&b, "[pedal]\nratio = %s\n", number(2.5, 8).Draw(t, "pedal ratio"))
	fmt.Fprintf(&b, "[master]\nbore = %s\n", rapid.SampledFrom([]string{`"7/8 in"`, `"1 1/8 in"`, `"25.4 mm ± 0.02"`}).Draw(t, "bore"))
	b.WriteString("[brake.rear]\n")
	may(&b, "kind", rapid.SampledFrom([]string{`"disc"`, `"drum"`, `"leading-trailing"`, `"two-leading"`, `"duo-servo"`}))
	may(&b, "friction", number(0.25, 0.45))
	may(&b, "shoe_factor", number(1, 5))
	may(&b, "piston_diameter", quantity(20, 40, "mm"))
	b.WriteString("[valves]\n")
	may(&b, "residual_front", quantity(1, 12, "psi"))
	may(&b, rapid.SampledFrom([]string{"residual", "residual_rear"}).Draw(t, "rear"), quantity(1, 12, "psi"))
	b.WriteString("[car]\n")
	may(&b, "adhesion", number(0.7, 1))
	may(&b, "sliding_adhesion", number(0.1, 0.7))
	b.WriteString("[reserve]\n")
	may(&b, "deceleration", quantity(0.1, 0.9, "g"))
	for i := range rapid.IntRange(0, 3).Draw(t, "presses") {
		fmt.Fprintf(&b, "[[press]]\nat = \"%d s\"\npedal = %s\n", 10*i, quantity(10, 400, "N", "lbf", "lb").Draw(t, "pedal"))
		may(&b, "hold", quantity(1, 5, "s"))
	}
	for range rapid.IntRange(0, 2).Draw(t, "faults") {
		fmt.Fprintf(&b, "[[fault]]\nname = \"hose-leak\"\narea = %s\n", quantity(0.3, 5, "mm2").Draw(t, "leak"))
	}
	if rapid.Bool().Draw(t, "reading") {
		fmt.Fprintf(&b, "[[reading]]\ntest = \"booster-vacuum\"\nvalue = %s\n", quantity(5, 20, "inHg").Draw(t, "read"))
	}
	return b.String()
}

func read(t require.TestingT, doc string, flags ...string) *scenario.Scenario {
	s, err := scenario.Read(strings.NewReader(doc), "car.toml", flags...)
	require.NoError(t, err, "%s", doc)
	return s
}

func TestAScenarioWrittenReadsTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		doc := drawDocument(t)
		s := read(t, doc)
		again := read(t, s.String())
		require.Equal(t, s.Hash(), again.Hash(), "%s", s)
		require.Equal(t, s.Config, again.Config)
		require.Equal(t, s.Spreads, again.Spreads)
		require.Equal(t, s.Title, again.Title)
		require.Equal(t, s.String(), again.String())
		require.Len(t, again.Warnings, len(s.Warnings))
	})
}

// Written in full, nothing is left to the defaults, so that the document keeps
// its meaning whatever these become.
func TestAScenarioWrittenInFullReadsTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := read(t, drawDocument(t))
		again := read(t, s.Document())
		require.Equal(t, s.Hash(), again.Hash(), "%s", s.Document())
		require.Equal(t, s.Config, again.Config)
		require.Equal(t, s.Reserve, again.Reserve)
		require.Equal(t, s.Presses, again.Presses)
		require.Equal(t, s.Choose, again.Choose)
		require.Equal(t, s.Document(), again.Document())
		for _, e := range again.Entries() {
			require.NotEqual(t, scenario.Default, e.Origin, e.Path)
		}
	})
}

func TestTheBuiltinCarCanBeWrittenAndRead(t *testing.T) {
	s, err := scenario.Builtin("source.vacuum=11 inHg ± 1", "reservoir.volume=2 L", "booster.diameter=8 in + 8 in")
	require.NoError(t, err)
	again := read(t, s.String())
	require.Equal(t, s.Hash(), again.Hash())
	require.Equal(t, s.Config, again.Config)
}

// What was worked out is written with no more digits than an estimate has: a saved file
// is read by people.
func TestASavedFileHasShortNumbers(t *testing.T) {
	for _, flags := range [][]string{
		nil,
		{"booster.diameter=8 in + 8 in", "source.displacement=350 in3", "cam.duration=240"},
		{"booster.diameter=9 in", "booster.stroke=1.7 in", "master.bore=15/16 in"},
		{"booster.diameter=205 mm + 230 mm", "source.vacuum=11.5 inHg"},
		{"booster.diameter=5 in"},
	} {
		s, err := scenario.Builtin(flags...)
		require.NoError(t, err)
		for line := range strings.Lines(s.String()) {
			for _, number := range regexp.MustCompile(`[0-9.]+`).FindAllString(line, -1) {
				require.LessOrEqual(t, len(strings.ReplaceAll(number, ".", "")), 6, "%v: %s", flags, line)
			}
		}
		again := read(t, s.String())
		require.Equal(t, s.Config, again.Config)
	}
}

// Every number of a scenario that is accepted is finite: no later step has to ask.
func requireFinite(t require.TestingT, s *scenario.Scenario) {
	for _, e := range s.Entries() {
		for _, v := range e.SI {
			require.False(t, math.IsNaN(v) || math.IsInf(v, 0), "%s is %v", e.Path, v)
		}
	}
}

func TestWithIsTheSameAsAFlag(t *testing.T) {
	s := read(t, car)
	before := s.Hash()
	for _, change := range []struct{ path, value string }{
		{"booster.ratio", "6"},
		{"source.vacuum", "11 inHg"},
		{"booster.diameter", "8 in + 8 in"},
		{"booster.diameter", `["8 in", "8 in"]`},
		{"reservoir.volume", `"2 L"`},
		{"source.measured_in_gear", "false"},
		{"title", "true"},
		{"press[0].at", "1 s"},
	} {
		flags := []string{change.path + "=" + change.value}
		changes := []scenario.Setting{{Path: change.path, Value: change.value}}
		if change.path == "press[0].at" {
			flags = append(flags, "press[0].pedal=100 N")
			changes = append(changes, scenario.Setting{Path: "press[0].pedal", Value: "100 N"})
		}
		edited, err := s.Edit(changes)
		require.NoError(t, err)
		flagged := read(t, car, flags...)
		require.Equal(t, flagged.Hash(), edited.Hash())
		require.Equal(t, flagged.Title, edited.Title)
		require.Equal(t, before, s.Hash(), "the scenario that was changed must stay as it is")
		if change.path != "title" {
			require.NotEqual(t, before, edited.Hash(), change.path)
		}
	}
}
