package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"regexp"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"kneepoint/internal/report"
	"kneepoint/scenarios"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// fronts keeps the first pages that several tests look at.
var fronts sync.Map

// frontOf is a report of a shipped scenario with its first page alone.
func frontOf(t *testing.T, name string) []byte {
	t.Helper()
	made, _ := fronts.LoadOrStore(name, sync.OnceValues(func() ([]byte, error) { return newFront(name) }))
	text, err := made.(func() ([]byte, error))()
	require.NoError(t, err)
	return text
}

func newFront(name string) ([]byte, error) {
	text, err := scenarios.Read(name)
	if err != nil {
		return nil, err
	}
	s, err := scenario.Read(bytes.NewReader(text), name)
	if err != nil {
		return nil, err
	}
	c := &console{out: &bytes.Buffer{}, err: &bytes.Buffer{}}
	page := reportPage(s, &commonFlags{units: "us"})
	if page.Front, err = c.front(context.Background(), s, nil, &form{}, si.US); err != nil {
		return nil, err
	}
	var out bytes.Buffer
	err = report.HTML(&out, page)
	return out.Bytes(), err
}

// sectionOf is the element that has a class.
func sectionOf(t *testing.T, page *html.Node, class string) *html.Node {
	t.Helper()
	for _, n := range elements(page, "section") {
		if attribute(n, "class") == class {
			return n
		}
	}
	require.Fail(t, "no section "+class)
	return nil
}

// firstPages are scenarios whose first pages differ most.
var firstPages = []string{"which-booster", "big-cam-seven", "hard-pedal", "leaky-shell", "front-hose-burst", "manual-pedal"}

// The first page is for who owns the car: without keys, without names of faults in files,
// without names of JSON.
func TestFirstPageIsPlain(t *testing.T) {
	t.Parallel()
	snake := regexp.MustCompile(`[a-z]+_[a-z]+`)
	for _, name := range firstPages {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			page := parsePage(t, frontOf(t, name))
			text := textOf(sectionOf(t, page, "front"))
			for _, k := range scenario.Keys() {
				if strings.Contains(k.Path, ".") {
					assert.NotContains(t, text, k.Path)
				}
			}
			for _, f := range sim.FaultNames() {
				assert.NotContains(t, text, string(f))
			}
			assert.NotRegexp(t, snake, text)
			assert.Equal(t, 1, strings.Count(textOf(elements(page, "body")[0]), report.Caution))
		})
	}
}

// What is broken comes before everything else, and nothing is bought for it.
func TestFirstPageBeginsWithWhatIsBroken(t *testing.T) {
	t.Parallel()
	for name, want := range map[string]string{
		"front-hose-burst": "This car is taken with its front circuit lost. Do not drive it before that is put right.",
		"leaky-shell":      "This car is taken with a leak from the front shell to the air.",
		"hard-pedal":       "It is more likely than not an air seat that lets air in with the pedal at rest (",
	} {
		front := sectionOf(t, parsePage(t, frontOf(t, name)), "front")
		for _, n := range elements(front, "p") {
			if attribute(n, "class") == "first" {
				assert.True(t, strings.HasPrefix(textOf(n), want), textOf(n))
			}
		}
		assert.NotContains(t, textOf(front), "Asked was")
	}
}

// cellsOf are the values in SI of a table's cells, by the row's first cell and the column.
func cellsOf(t *testing.T, page *html.Node, id string) map[string]map[string]any {
	t.Helper()
	out := map[string]map[string]any{}
	for _, table := range elements(page, "table") {
		if attribute(table, "id") == id {
			rows := tableRows(t, table)
			for i, tr := range elements(elements(table, "tbody")[0], "tr") {
				out[textOf(elements(tr, "th")[0])] = rows[i]
			}
		}
	}
	require.NotEmpty(t, out, id)
	return out
}

// What the first page says of the car as it is, curve and reserve say too.
func TestFirstPageIsWhatTheVerbsSay(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"which-booster", "leaky-shell", "front-hose-burst"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			page := parsePage(t, frontOf(t, name))
			stops := cellsOf(t, page, "front-stops")
			var curve struct {
				HardStop struct {
					Pedal *float64 `json:"pedal_n"`
				} `json:"hard_stop"`
			}
			var reserve struct {
				Stops []struct {
					Needed float64 `json:"needed_pedal_n"`
				} `json:"stops"`
			}
			answered := func(to any, args ...string) {
				status, text, trouble := run(t, append(args, "--format", "json")...)
				require.Equal(t, done, status, trouble)
				require.NoError(t, json.Unmarshal([]byte(text), to))
			}
			near := func(want float64, row string) { assert.InEpsilon(t, want, stops[row]["pedal_n"], 1e-9, row) }
			answered(&curve, "curve", name)
			if curve.HardStop.Pedal == nil {
				assert.NotContains(t, stops["in a panic"], "pedal_n")
			} else {
				near(*curve.HardStop.Pedal, "in a panic")
			}
			answered(&reserve, "reserve", name, "--set", "reserve.engine=off")
			near(reserve.Stops[0].Needed, "engine dead")
			answered(&reserve, "reserve", name, "--set", "reserve.engine=idle")
			near(reserve.Stops[0].Needed, "every day")
		})
	}
}

// Where the report has a choice, its first page recommends the same.
func TestFirstPageRecommendsWhatTheChoiceDoes(t *testing.T) {
	t.Parallel()
	page := parsePage(t, frontOf(t, "which-booster"))
	status, text, trouble := run(t, "choose", "which-booster")
	require.Equal(t, done, status, trouble)
	said, _, _ := strings.Cut(strings.Join(strings.Fields(text), " "), ";")
	require.NotEmpty(t, said)
	assert.Contains(t, textOf(sectionOf(t, page, "front")), said+".")
}

// A line of the form has what its flag says, or is there to be filled in.
func TestReportForm(t *testing.T) {
	t.Parallel()
	status, text, trouble := run(t, "report", "manual-pedal", "--study", "curve", "--for", "M. <Larsen>", "--date", "27 November", "-o", "-")
	require.Equal(t, done, status, trouble)
	form := map[string]string{}
	for _, div := range elements(elements(parsePage(t, []byte(text)), "dl")[0], "div") {
		form[textOf(elements(div, "dt")[0])] = textOf(elements(div, "dd")[0])
	}
	assert.Equal(t, map[string]string{"Customer": "M. <Larsen>", "Car": "", "Shop": "", "Date": "27 November"}, form)
	status, _, trouble = run(t, "report", "manual-pedal", "--by", strings.Repeat("long ", 20), "-o", "-")
	assert.Equal(t, wrongInput, status)
	assert.Contains(t, trouble, "--by: read 100 letters, want one line of at most 60")
}
