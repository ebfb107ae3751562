package cli

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/report"
	"kneepoint/scenarios"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
	"kneepoint/sim/study"
)

// The first screen of every verb, on every shipped scenario that it is for and in both
// systems of units, fits on a terminal, has its three parts, and says where the rest is.
func TestFirstScreens(t *testing.T) {
	t.Parallel()
	c := &console{}
	c.root()
	verbs := map[string]*studyVerb{}
	for _, v := range c.studies {
		verbs[v.command.Name()] = v
	}
	for _, name := range scenarios.Names() {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			text, err := scenarios.Read(name)
			require.NoError(t, err)
			s, err := scenario.Read(bytes.NewReader(text), name)
			require.NoError(t, err)
			for _, verb := range []string{"curve", "reserve", "run", "balance", "failures", "diagnose"} {
				if v := verbs[verb]; verb != "diagnose" || v.applies(s) {
					ans, err := v.ask(context.Background(), s, nil)
					require.NoError(t, err, verb)
					wantScreen(t, verb, ans, s)
				}
			}
			measure, _ := study.MeasureOf("knee_line")
			swept, err := study.Sweep(context.Background(), s, []study.SweepAxis{{Path: "master.bore", Dim: si.DimLength, Values: study.Even(0.02, 0.03, 3)}}, measure, nil)
			require.NoError(t, err)
			wantScreen(t, "sweep", swept, s)
			wantScreen(t, "check", &checkAnswer{scenario: s}, s)
		})
	}
}

// wantScreen prints an answer as the verb does.
func wantScreen(t *testing.T, verb string, ans answer.Answer, s *scenario.Scenario) {
	t.Helper()
	for _, units := range systems {
		f := commonFlags{format: "text", units: units}
		screen := ans.(answer.Screened).Screen(f.textSystem())
		for _, part := range []string{strings.Join(screen.Verdict, ""), screen.DependsOn, screen.Next} {
			assert.NotEmpty(t, part, "%s, %s", verb, units)
		}
		var first, all bytes.Buffer
		c := &console{}
		require.NoError(t, c.write(&first, ans, &f, s))
		f.all = true
		require.NoError(t, c.write(&all, ans, &f, s))
		wantFits(t, first.String(), "%s, %s", verb, units)
		assert.Equal(t, 1, strings.Count(first.String(), "Caution: "), "%s, %s", verb, units)
		assert.Greater(t, all.Len(), 0)
		for _, table := range ans.Tables() {
			if !table.Detail && table.Name != "" {
				assert.Contains(t, "\n"+all.String(), "\n"+table.Name+"\n", "all of %s, %s", verb, units)
			}
		}
	}
}

// systemsTried are all systems of units, in a short run that with the longer words.
func systemsTried() []string {
	if testing.Short() {
		return []string{"us"}
	}
	return systems
}

func wantFits(t *testing.T, text string, which ...any) {
	t.Helper()
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	used := len(lines)
	for _, l := range lines {
		// A command is not broken, so that it can be copied: the terminal does it.
		if strings.HasPrefix(l, "  kneepoint ") {
			used += (utf8.RuneCountInString(l) - 1) / 80
			continue
		}
		assert.LessOrEqual(t, utf8.RuneCountInString(l), 80, l)
	}
	assert.LessOrEqual(t, used, 24, which...)
	assert.Contains(t, text, "--all prints", which...)
}

// The verbs that take more than a scenario, and keys, which takes none.
func TestFirstScreensOfTheOthers(t *testing.T) {
	t.Parallel()
	in := func(name string) string { return filepath.Join("..", "..", "scenarios", name) }
	for _, args := range [][]string{
		{"fit", in("gauge-log.toml"), in("gauge-log.csv")},
		{"compare", in("big-cam-nine.toml"), in("big-cam-tandem.toml"), in("big-cam-pump.toml"), in("manual-pedal.toml")},
		{"compare", "--with", `booster.diameter=7 in + 8 in`},
		{"check"}, {"curve"}, {"reserve"}, {"run"}, {"failures"}, {"balance"},
		{"reserve", "--set", "source.vacuum=14 inHg ± 2", "--set", "booster.front_volume=3 L ± 0.5"},
		{"sweep", "--over", "source.vacuum=8 inHg..20 inHg/3", "--over", "reservoir.volume=0 L..2 L/2"},
		{"keys"},
	} {
		for _, units := range systemsTried() {
			var out, err bytes.Buffer
			require.Equal(t, done, Main(context.Background(), append(args, "--units", units), strings.NewReader(""), &out, &err), err.String())
			wantFits(t, out.String(), "%v, %s", args, units)
		}
	}
}

// A file is kept, and has all of the text.
func TestAFileHasAllOfTheText(t *testing.T) {
	t.Parallel()
	var out, err bytes.Buffer
	path := filepath.Join(t.TempDir(), "reserve.txt")
	require.Equal(t, done, Main(context.Background(), []string{"reserve", "-o", path}, strings.NewReader(""), &out, &err), err.String())
	require.Equal(t, done, Main(context.Background(), []string{"reserve", "--all"}, strings.NewReader(""), &out, &err), err.String())
	kept, failed := os.ReadFile(path)
	require.NoError(t, failed)
	assert.Equal(t, out.String(), string(kept))
	assert.Contains(t, out.String(), report.Caution[:20])
}
