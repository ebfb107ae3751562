package study_test

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/diagnose"
	"kneepoint/internal/precision"
	"kneepoint/scenarios"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/study"
)

var (
	convergeAll    = flag.Bool("converge", false, "hold every figure of every scenario against a tighter tolerance (some minutes)")
	convergeUpdate = flag.Bool("update", false, "with -converge: write testdata/convergence.md anew")
)

const (
	// tighter is how much closer the second solution is, and allowed the share by
	// which a figure may move.
	tighter = 100
	allowed = 1e-3

	convergenceFile = "../../testdata/convergence.md"
)

// asked are the questions put to a scenario: those that any car can answer, and
// those that it was written for.
func asked(s *scenario.Scenario) []question {
	all := []question{
		{"curve", func(ctx context.Context) (answer.Answer, error) { return study.Curve(ctx, s, study.CurveOptions{}) }},
		{"reserve", func(ctx context.Context) (answer.Answer, error) { return study.Reserve(ctx, s, nil) }},
		{"run", func(ctx context.Context) (answer.Answer, error) { return study.Run(ctx, s, study.RunOptions{}) }},
		{"balance", func(ctx context.Context) (answer.Answer, error) { return study.Balance(ctx, s, nil) }},
		{"failures", func(ctx context.Context) (answer.Answer, error) { return study.Failures(ctx, s, nil) }},
	}
	if s.IsSet("choose") {
		all = append(all, question{"choose", func(ctx context.Context) (answer.Answer, error) { return study.Choose(ctx, s, nil) }})
	}
	if len(s.Readings) > 0 {
		all = append(all, question{"diagnose", func(ctx context.Context) (answer.Answer, error) { return diagnose.Diagnose(ctx, s, nil) }})
	}
	return all
}

type question struct {
	verb string
	ask  func(context.Context) (answer.Answer, error)
}

// A moved is how far one figure moves when the solver is held tighter.
type moved struct {
	key         string
	usual, fine float64
	scale       float64 // what the move is a share of
}

func (m moved) share() float64 {
	if math.IsNaN(m.usual) && math.IsNaN(m.fine) {
		return 0
	}
	d := math.Abs(m.usual-m.fine) / m.scale
	if math.IsNaN(d) {
		return math.Inf(1) // a figure that exists in one of the two only
	}
	return d
}

// leastScales are those of figures near zero: what no gauge at the counter could
// tell from nothing. A figure larger than that is held to itself.
var leastScales = []struct {
	suffix string
	scale  float64
	words  string
}{
	{"_m_per_pa", 1e-9, "1 mm/MPa"},
	{"_pa", 1e3, "1 kPa"},
	{"_n", 1, "1 N"},
	{"_m3", 1e-6, "1 cm³"},
	{"_m", 1e-3, "1 mm"},
	{"_s", 0.1, "0.1 s"},
	{"_mps2", 0.1, "0.1 m/s²"},
	{"_kgps", 1e-6, "1 mg/s"},
	{"_k", 1, "1 K"},
}

const (
	plainScale = 0.01 // of a number without a unit
	soundScale = 100  // of what the sound car reads: Pa, and a count moves by one or not at all
)

func leastScale(key string) float64 {
	for _, whole := range []string{"probability", "severit", "unexplained"} {
		if strings.Contains(key, whole) {
			return 1
		}
	}
	if strings.HasSuffix(key, ".sound") {
		return soundScale
	}
	for _, s := range leastScales {
		if strings.HasSuffix(key, s.suffix) {
			return s.scale
		}
	}
	return plainScale
}

func scalesInWords() string {
	var words []string
	for _, s := range leastScales {
		words = append(words, s.words)
	}
	return strings.Join(words, ", ") + fmt.Sprintf(", %g without a unit,\n%d Pa for what a sound car reads", plainScale, soundScale)
}

// figures flattens a document: single figures under their path, and what is drawn
// as a curve (the columns of a run, the points of a curve) as a list.
func figures(t require.TestingT, a answer.Answer) (single map[string]float64, drawn map[string][]float64) {
	data, err := json.Marshal(a.Document())
	require.NoError(t, err)
	var doc any
	require.NoError(t, json.Unmarshal(data, &doc))
	single, drawn = map[string]float64{}, map[string][]float64{}
	var walk func(path string, v any, inCurve bool)
	walk = func(path string, v any, inCurve bool) {
		put := func(x float64) {
			if inCurve {
				drawn[path] = append(drawn[path], x)
			} else {
				single[path] = x
			}
		}
		switch v := v.(type) {
		case float64:
			put(v)
		case bool:
			put(map[bool]float64{false: 0, true: 1}[v])
		case nil:
			put(math.NaN())
		case map[string]any:
			for k, x := range v {
				walk(strings.TrimPrefix(path+"."+k, "."), x, inCurve)
			}
		case []any:
			for i, x := range v {
				switch x.(type) {
				case map[string]any:
					if curve := inCurve || strings.HasSuffix(path, "points"); curve {
						walk(path, x, true)
					} else {
						walk(path+"["+strconv.Itoa(i)+"]", x, false)
					}
				default:
					walk(path, x, true)
				}
			}
		}
	}
	walk("", doc, false)
	return single, drawn
}

// compared returns every figure of an answer beside that of the tighter solution.
// A figure that is drawn is held to the span of its curve.
func compared(t require.TestingT, usual, fine answer.Answer) []moved {
	single, drawn := figures(t, usual)
	singleFine, drawnFine := figures(t, fine)
	var out []moved
	for key, v := range single {
		w, ok := singleFine[key]
		if !ok {
			w = math.Inf(1)
		}
		out = append(out, moved{key, v, w, max(math.Abs(w), leastScale(key))})
	}
	for key, list := range drawn {
		other := drawnFine[key]
		require.Len(t, other, len(list), key)
		low, high := math.Inf(1), math.Inf(-1)
		for _, v := range other {
			if !math.IsNaN(v) {
				low, high = min(low, v), max(high, v)
			}
		}
		worst := moved{key: key, usual: math.NaN(), fine: math.NaN(), scale: 1}
		for i, v := range list {
			m := moved{key, v, other[i], max(high-low, leastScale(key))}
			if m.share() > worst.share() || i == 0 {
				m.key = key + "[" + strconv.Itoa(i) + "]"
				worst = m
			}
		}
		out = append(out, worst)
	}
	slices.SortFunc(out, func(a, b moved) int {
		if c := b.share() - a.share(); c != 0 && !math.IsNaN(c) {
			return int(math.Copysign(1, c))
		}
		return strings.Compare(a.key, b.key)
	})
	return out
}

// A row is what the table says of one question to one scenario.
type row struct {
	scenario, verb string
	figures        int
	worst          float64 // share
	at             string
	misses         []moved
}

// askTwice answers a question at the usual tolerance and at the tighter one.
func askTwice(t *testing.T, name string, q question) row {
	usual, err := q.ask(t.Context())
	require.NoError(t, err)
	fine, err := q.ask(precision.Finer(t.Context(), tighter))
	require.NoError(t, err)
	all := compared(t, usual, fine)
	require.NotEmpty(t, all)
	r := row{scenario: name, verb: q.verb, figures: len(all), worst: all[0].share(), at: all[0].key}
	for _, m := range all {
		if m.share() > allowed {
			r.misses = append(r.misses, m)
		}
	}
	return r
}

// quick are the questions of every test run; the rest takes -converge.
var quick = map[string][]string{
	"stock-ten-inch":    {"curve", "reserve", "run", "balance", "failures"},
	"big-cam-reservoir": {"curve", "reserve", "run"},
	"front-hose-burst":  {"run", "failures"},
	"stop-and-go":       {"curve", "run"},
	"leaky-shell":       {"reserve"},
	"manual-pedal":      {"curve", "reserve", "balance"},
}

// TestConvergence holds that no reported figure owes more than a thousandth of
// itself to the solver: it moves by less when the tolerance is tightened a
// hundredfold. testdata/convergence.md lists how far, figure by figure where one
// misses.
func TestConvergence(t *testing.T) {
	written, err := os.ReadFile(convergenceFile)
	if !*convergeUpdate {
		require.NoError(t, err)
	}
	var rows []row
	for _, name := range scenarios.Names() {
		s, err := scenario.Open("../../scenarios/"+name+".toml", nil)
		require.NoError(t, err)
		for _, q := range asked(s) {
			if !*convergeAll && !slices.Contains(quick[name], q.verb) {
				continue
			}
			r := askTwice(t, name, q)
			rows = append(rows, r)
			if !*convergeUpdate {
				r.holds(t, string(written))
			}
		}
	}
	if *convergeUpdate {
		require.True(t, *convergeAll, "-update needs -converge")
		require.NoError(t, os.WriteFile(convergenceFile, []byte(convergenceTable(rows)), 0o666))
	}
}

// holds compares a row with the table: a figure that misses must be listed as one
// that does, and the worst must be of the size that is written there.
func (r row) holds(t *testing.T, table string) {
	var written float64
	found := false
	for line := range strings.Lines(table) {
		cells := strings.Split(line, "|")
		if len(cells) == 7 && strings.TrimSpace(cells[1]) == r.scenario && strings.TrimSpace(cells[2]) == r.verb {
			_, err := fmt.Sscanf(strings.TrimSpace(cells[4]), "%g %%", &written)
			require.NoError(t, err, line)
			found = true
		}
	}
	if !assert.True(t, found, "%s %s is not in the table", r.scenario, r.verb) {
		return
	}
	// Rounding differs between processors, and with it where a step ends.
	const scatter, nothing = 10, 0.02 / 100
	assert.Less(t, r.worst, max(scatter*written/100, nothing), "%s %s: %s moved more than the table says", r.scenario, r.verb, r.at)
	for _, m := range r.misses {
		assert.Contains(t, table, m.line(r), "not listed among those that miss")
	}
}

func (m moved) line(r row) string {
	return fmt.Sprintf("| %s | %s | %s |", r.scenario, r.verb, m.key)
}

const convergenceWords = `# What the figures owe to the solver

Every figure of every shipped scenario's answer, solved as usual and with the tolerance
tightened a hundredfold. Written by

    go test ./sim/study -run TestConvergence -converge -update

and held by the same test: all of it with -converge, a part of it in every test run.

A single figure's change is a share of the figure, or of the least scale of its kind
where the figure is smaller: %s.
What is drawn as a curve (the columns of run, the points of curve) is held to the span
of its curve, from its least to its greatest value. A probability and a severity are
held to 1, the whole. A truth counts as 0 or 1, and a figure that exists in one of the
two solutions only counts as an infinite change. ` + "`choose` and `diagnose`" + ` are asked where the
scenario was written for them. Not contained are ` + "`sweep`" + `, which maps figures of reserve and
curve, and the words, which print them to the digits of a gauge.

| scenario | verb | figures | worst change | at |
|---|---|---|---|---|
`

func convergenceTable(rows []row) string {
	var b strings.Builder
	fmt.Fprintf(&b, convergenceWords, scalesInWords())
	figures, missed := 0, 0
	for _, r := range rows {
		fmt.Fprintf(&b, "| %s | %s | %d | %.2g %% | %s |\n", r.scenario, r.verb, r.figures, 100*r.worst, r.at)
		figures += r.figures
		missed += len(r.misses)
	}
	fmt.Fprintf(&b, "\n%d figures; %d change by more than %g %%.\n", figures, missed, 100*allowed)
	if missed > 0 {
		b.WriteString("\n| scenario | verb | figure that misses | usual | tighter | change |\n|---|---|---|---|---|---|\n")
		for _, r := range rows {
			for _, m := range r.misses {
				fmt.Fprintf(&b, "%s %.6g | %.6g | %.2g %% |\n", m.line(r), m.usual, m.fine, 100*m.share())
			}
		}
	}
	return b.String()
}
