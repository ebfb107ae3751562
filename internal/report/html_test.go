package report

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"html"
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// drawing is a stub with a figure.
type drawing struct {
	stub
	note string
}

func (d drawing) Figures() []answer.Figure {
	return []answer.Figure{{Name: "f", Title: "A <figure>", Note: d.note, Panels: []answer.Panel{{
		X:      answer.Axis{Label: "Pedal force", Dim: si.DimForce},
		Y:      answer.Axis{Label: "Line pressure", Dim: si.DimPressure},
		Curves: []answer.Curve{{Label: "curve", X: []float64{0, 500}, Y: []float64{0, 5e6}}},
	}}}}
}

func pageOf(studies ...answer.Answer) Page {
	p := Page{Title: "A car", File: "car.toml", Units: si.US, Scenario: map[string]int{"a": 1}, Version: "v0", Hash: "abc", Command: "kneepoint report"}
	for i, a := range studies {
		p.Studies = append(p.Studies, Study{Verb: fmt.Sprintf("verb%d", i+1), Question: "How much?", Answer: a})
	}
	return p
}

func htmlOf(t *testing.T, p Page) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, HTML(&b, p))
	return b.String()
}

func TestHTMLHoldsWordsTablesAndFullFigures(t *testing.T) {
	got := htmlOf(t, pageOf(stub{words: []string{"One stop."}, tables: []answer.Table{stops()}}))
	assert.Contains(t, got, "<p>One stop.</p>")
	assert.Contains(t, got, `<th scope="col" data-key="needed_pedal_n">Needed pedal (lbf)</th>`)
	assert.Contains(t, got, `<data value="44.482216152605">10</data>`)
	assert.Contains(t, got, `<data value="true">yes</data>`)
	assert.Contains(t, got, "<td>—</td>", "what does not exist has no value")
	assert.Contains(t, got, `<th scope="row"><data value="1">1</data></th>`)
}

func TestHTMLEscapesWhatItIsGiven(t *testing.T) {
	const sign = `</script><script>alert(1)</script>&"'`
	p := pageOf(stub{words: []string{sign}, doc: map[string]string{"x": sign}, tables: []answer.Table{{
		Name: sign, Columns: []answer.Column{{Key: "k", Title: sign}}, Rows: [][]answer.Cell{{sign}},
	}}}, drawing{note: sign})
	p.Title, p.File, p.Command, p.Warnings = sign, sign, sign, []string{sign}
	p.Given = []Input{{Key: sign, Value: sign, Meaning: sign, From: sign, Within: sign}}
	got := htmlOf(t, p)
	assert.NotContains(t, got, "<script>")
	data := regexp.MustCompile(`(?s)id="data-verb1">(.*?)</script>`).FindStringSubmatch(got)
	var read map[string]string
	require.NoError(t, json.Unmarshal([]byte(data[1]), &read))
	assert.Equal(t, sign, read["x"])
}

// The policy lets in the style sheet as it stands there, to the last character.
func TestHTMLPolicyNamesTheStyleSheet(t *testing.T) {
	got := htmlOf(t, pageOf(stub{}))
	style := regexp.MustCompile(`(?s)<style>(.*?)</style>`).FindStringSubmatch(got)[1]
	digest := sha256.Sum256([]byte(style))
	assert.Contains(t, html.UnescapeString(got), "style-src 'sha256-"+base64.StdEncoding.EncodeToString(digest[:])+"';")
	assert.Contains(t, style, `.adapts [fill="#FFFFFF"]`, "with the colours of the pictures")
}

// Where the page has its caution, no picture repeats it.
func TestHTMLCautionStandsOnce(t *testing.T) {
	note := "Simulated. " + answer.PlanningNote
	got := htmlOf(t, pageOf(drawing{note: note}, drawing{note: note}))
	assert.Equal(t, 1, strings.Count(got, Caution))
	assert.Equal(t, 1, strings.Count(got, "not a safety approval"))
	assert.Equal(t, 2, strings.Count(got, `<p class="faint">Simulated.</p>`))
}

func TestHTMLLeavesDetailToTheData(t *testing.T) {
	long := stops()
	long.Detail, long.Name = true, "samples"
	got := htmlOf(t, pageOf(stub{tables: []answer.Table{long}}))
	assert.NotContains(t, got, "44.482216152605")
	assert.Contains(t, got, "the table “samples” with 2 rows")
}

// wideTable has n columns of numbers some ten characters wide.
func wideTable(n int, first ...answer.Cell) answer.Table {
	t := answer.Table{Name: "wide", Columns: []answer.Column{{Key: "name", Title: "name"}}}
	for i := range n {
		t.Columns = append(t.Columns, answer.Column{Key: fmt.Sprintf("k%d", i), Title: "quantities"})
	}
	for _, name := range first {
		row := []answer.Cell{name}
		for range n {
			row = append(row, 1)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

func TestWideTableIsDealtOut(t *testing.T) {
	views, err := tableViews(wideTable(20, "a", "b"), si.SI, "t")
	require.NoError(t, err)
	require.Len(t, views, 2)
	shown := 0
	for i, v := range views {
		assert.Equal(t, fmt.Sprintf("t-%d", i+1), v.ID)
		assert.Equal(t, "name", v.Heads[0].Text, "the first column names the row in each part")
		assert.Equal(t, "a", v.Rows[0][0].Text)
		shown += len(v.Heads) - 1
	}
	assert.Equal(t, 20, shown)

	views, err = tableViews(wideTable(20, "a", "a"), si.SI, "t")
	require.NoError(t, err)
	assert.Equal(t, "row", views[1].Heads[0].Text, "names that are alike tell no rows apart")
	assert.Equal(t, "2", views[1].Rows[1][0].Text)
	assert.Empty(t, views[1].Heads[0].Key)
}

func TestLongWordsGoBelowTheRow(t *testing.T) {
	why := strings.Repeat("reason ", 10)
	table := wideTable(8, "a", "b")
	table.Columns = append(table.Columns, answer.Column{Key: "why", Title: "why"})
	for i := range table.Rows {
		table.Rows[i] = append(table.Rows[i], answer.Phrase(func(u si.System) string { return why + u.String() }))
	}
	views, err := tableViews(table, si.US, "t")
	require.NoError(t, err)
	require.Len(t, views, 1)
	assert.Len(t, views[0].Heads, 9)
	assert.Equal(t, "why", views[0].NoteHead.Key)
	assert.Equal(t, why+"us", views[0].Notes[1].Text)

	table = wideTable(1, "a")
	table.Columns = append(table.Columns, answer.Column{Key: "why", Title: "why"})
	table.Rows[0] = append(table.Rows[0], why)
	views, err = tableViews(table, si.US, "t")
	require.NoError(t, err)
	assert.Empty(t, views[0].Notes, "there is room beside")
}

func TestHTMLRefuses(t *testing.T) {
	table := stops()
	table.Rows[0] = table.Rows[0][:2]
	var b bytes.Buffer
	assert.ErrorContains(t, HTML(&b, pageOf(stub{tables: []answer.Table{table}})), `verb1: table "Stop after stop", row 1`)
	assert.ErrorContains(t, HTML(&b, pageOf(stub{doc: map[string]float64{"x": math.NaN()}})), "verb1: JSON: x is NaN")
	assert.EqualError(t, HTML(fullDisk{}, pageOf(stub{})), "disk full")
	assert.Zero(t, b.Len(), "nothing half written")
}

func TestHTMLNeverPrintsNaN(t *testing.T) {
	table := stops()
	table.Rows[0][1], table.Rows[1][3] = math.NaN(), math.Inf(1)
	got := htmlOf(t, pageOf(stub{tables: []answer.Table{table}}))
	assert.NotContains(t, got, "NaN")
	assert.NotContains(t, got, "Inf")
}

// What an earlier answer on the page has said is not said again; an answer's own first
// paragraph always is.
func TestAPageSaysAWarningOnce(t *testing.T) {
	said := map[string]bool{}
	assert.Equal(t, []string{"first", "a warning"}, onlyNew([]string{"first", "a warning"}, said))
	assert.Equal(t, []string{"second", "more"}, onlyNew([]string{"second", "a warning", "more"}, said))
	assert.Equal(t, []string{"first"}, onlyNew([]string{"first", "more"}, said))

	var b bytes.Buffer
	words := func(first string) answer.Answer {
		return stub{words: []string{first, "Low vacuum."}, doc: map[string]int{}}
	}
	require.NoError(t, HTML(&b, Page{Title: "t", Scenario: map[string]int{}, Studies: []Study{
		{Verb: "curve", Question: "?", Answer: words("One.")}, {Verb: "reserve", Question: "?", Answer: words("Two.")},
	}}))
	assert.Equal(t, 1, strings.Count(b.String(), "Low vacuum."))
}
