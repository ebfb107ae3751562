package study_test

import (
	"context"
	"encoding/json"
	"errors"
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

	"kneepoint/scenarios"
	"kneepoint/sim/scenario"
	"kneepoint/sim/study"
	"kneepoint/sim/study/answer"
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
		all = append(all, question{"diagnose", func(ctx context.Context) (answer.Answer, error) { return study.Diagnose(ctx, s, nil) }})
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

// leastScale is the scale of a figure near zero: what no gauge at the counter could
// tell from nothing. A figure larger than it is held to itself.
func leastScale(key string) float64 {
	for _, unit := range []struct {
		suffix string
		least  float64
	}{
		{"m_per_pa", 1e-9}, {"_pa", 1e3}, {"_n", 1}, {"_m3", 1e-6}, {"_m", 1e-3}, {"_s", 0.1}, {"_mps2", 0.1}, {"_mps", 0.1},
		{"_kgps", 1e-6}, {"_k", 1}, {"_rps", 0.1},
	} {
		if strings.HasSuffix(key, unit.suffix) {
			return unit.least
		}
	}
	return 0.01
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

// TestConvergence prints how far the figures of one question move.
func TestConvergence(t *testing.T) {
	for _, name := range scenarios.Names() {
		s, err := scenario.Open("../../scenarios/"+name+".toml", nil)
		require.NoError(t, err)
		for _, q := range asked(s) {
			if !*convergeAll && (q.verb == "choose" || q.verb == "diagnose") {
				continue
			}
			usual, err := q.ask(t.Context())
			require.NoError(t, err)
			fine, err := q.ask(study.Finer(t.Context(), tighter))
			require.NoError(t, err)
			all := compared(t, usual, fine)
			fmt.Printf("%s %s: %d figures, worst %.2g at %s\n", name, q.verb, len(all), all[0].share(), all[0].key)
			for _, m := range all {
				if m.share() > allowed {
					fmt.Printf("    %s %v %v: %.2g of %.3g\n", m.key, m.usual, m.fine, m.share(), m.scale)
				}
			}
		}
	}
	_ = errors.New
	_ = os.ReadFile
	_ = assert.Equal
}
