package cli

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"kneepoint/internal/report"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// wants are the flags that a study cannot do without.
var wants = map[string][]string{
	"sweep": {"--over", "source.vacuum=8 inHg..20 inHg/3", "--over", "pedal.ratio=3..5/3"},
	"fit":   {"--log", "../../scenarios/gauge-log.csv", "--find", "front-shell-leak"},
}

// elsewhere are the columns of which the JSON has some values under other keys too.
var elsewhere = map[string]bool{
	"diagnose probability":   true, // that of what no fault explains
	"curve jump_in_output_n": true, // that of the closed form
}

// reportOf renders one study of the test car, asked with its flags, and returns the
// page with the JSON of the same answer.
func reportOf(t *testing.T, verb string, units string) (page *html.Node, doc []byte) {
	t.Helper()
	c := &console{out: &bytes.Buffer{}, err: &bytes.Buffer{}}
	root := c.root()
	i := slices.IndexFunc(c.studies, func(v *studyVerb) bool { return v.command.Name() == verb })
	require.GreaterOrEqual(t, i, 0)
	v := c.studies[i]
	cmd, _, err := root.Find([]string{verb})
	require.NoError(t, err)
	require.NoError(t, cmd.ParseFlags(wants[verb]))
	s, err := scenario.Read(strings.NewReader(everything), "everything.toml")
	require.NoError(t, err)
	car := s
	if v.prepare != nil {
		car, err = v.prepare(s)
		require.NoError(t, err)
	}
	study, err := c.reported(t.Context(), v, car)
	require.NoError(t, err)
	p := reportPage(s, &commonFlags{units: units})
	p.Studies, p.Command = []report.Study{study}, "kneepoint report"
	var text, data bytes.Buffer
	require.NoError(t, report.HTML(&text, p))
	require.NoError(t, report.JSON(&data, study.Answer))
	return parsePage(t, text.Bytes()), data.Bytes()
}

func parsePage(t testing.TB, text []byte) *html.Node {
	t.Helper()
	node, err := html.Parse(bytes.NewReader(text))
	require.NoError(t, err)
	return node
}

// elements are all of a name, in order.
func elements(node *html.Node, name string) []*html.Node {
	var found []*html.Node
	for n := range node.Descendants() {
		if n.Type == html.ElementNode && n.Data == name {
			found = append(found, n)
		}
	}
	return found
}

func attribute(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

func textOf(node *html.Node) string {
	var b strings.Builder
	for n := range node.Descendants() {
		if n.Type == html.TextNode {
			b.WriteString(n.Data)
		}
	}
	return b.String()
}

// Every verb that asks one question can be put on a page, and every figure there is
// that of its JSON to the last digit: under the same key, where the JSON has that key,
// and among its numbers in any case.
func TestReportShowsTheFiguresOfTheJSON(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("every verb twice")
	}
	c := &console{out: &bytes.Buffer{}, err: &bytes.Buffer{}}
	c.root()
	require.GreaterOrEqual(t, len(c.studies), 8)
	for _, v := range c.studies {
		verb := v.command.Name()
		t.Run(verb, func(t *testing.T) {
			t.Parallel()
			page, doc := reportOf(t, verb, "us")
			embedded := ""
			for _, n := range elements(page, "script") {
				if attribute(n, "id") == "data-"+verb {
					embedded = textOf(n)
				}
			}
			assert.JSONEq(t, string(doc), embedded, "the JSON itself")

			numbers, under := readDocument(t, doc)
			cells, keyed := 0, 0
			for _, table := range elements(page, "table") {
				if !strings.HasPrefix(attribute(table, "id"), verb+"-") {
					continue
				}
				for _, row := range tableRows(t, table) {
					for key, value := range row {
						cells++
						if n, ok := value.(float64); ok {
							assert.Contains(t, numbers, n, "%s of %s", key, attribute(table, "id"))
						}
						if values := under[key]; len(values) > 0 && !elsewhere[verb+" "+key] {
							keyed++
							assert.Contains(t, values, value, "%s of %s", key, attribute(table, "id"))
						}
					}
				}
			}
			assert.Positive(t, cells)
			if verb != "fit" { // whose correlations are a matrix in the JSON, without keys
				assert.Greater(t, 2*keyed, cells, "most cells are looked up by their key")
			}
		})
	}
}

// tableRows reads the values of a table's cells in SI by their column's key.
func tableRows(t *testing.T, table *html.Node) []map[string]any {
	t.Helper()
	var keys []string
	for _, th := range elements(elements(table, "thead")[0], "th") {
		keys = append(keys, attribute(th, "data-key"))
	}
	var rows []map[string]any
	column := 0
	for _, body := range elements(table, "tbody") {
		for _, tr := range elements(body, "tr") {
			if attribute(tr, "class") != "note" { // a note goes on with its row
				rows, column = append(rows, map[string]any{}), 0
			}
			for n := range tr.ChildNodes() {
				require.Less(t, column, len(keys))
				key := keys[column]
				column++
				data := elements(n, "data")
				if key == "" || len(data) == 0 {
					continue
				}
				rows[len(rows)-1][key] = readValue(t, attribute(data[0], "value"))
			}
		}
	}
	return rows
}

func readValue(t *testing.T, text string) any {
	t.Helper()
	if text == "true" || text == "false" {
		return text == "true"
	}
	n, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return n
}

// readDocument lists the numbers of a document, and its values under each key; those
// within an object also under both ("knee": {"line_pa": 1} under "knee_line_pa").
func readDocument(t *testing.T, doc []byte) (numbers map[float64]bool, under map[string]map[any]bool) {
	t.Helper()
	var root any
	require.NoError(t, json.Unmarshal(doc, &root))
	numbers, under = map[float64]bool{}, map[string]map[any]bool{}
	var walk func(v any, keys []string)
	walk = func(v any, keys []string) {
		switch v := v.(type) {
		case map[string]any:
			for key, inner := range v {
				within := []string{key}
				for _, outer := range keys {
					within = append(within, outer+"_"+key)
				}
				walk(inner, within)
			}
		case []any:
			for _, inner := range v {
				walk(inner, keys)
			}
		default:
			if n, ok := v.(float64); ok {
				numbers[n] = true
			}
			for _, key := range keys {
				if under[key] == nil {
					under[key] = map[any]bool{}
				}
				under[key][v] = true
			}
		}
	}
	walk(root, nil)
	return numbers, under
}

// Each input stands there with its SI value, and says whether it was given.
func TestReportSaysWhatItRestsOn(t *testing.T) {
	t.Parallel()
	page, _ := reportOf(t, "balance", "us")
	s, err := scenario.Read(strings.NewReader(everything), "everything.toml")
	require.NoError(t, err)
	shown := map[string]*html.Node{}
	for _, group := range []string{"inputs-given", "inputs-assumed"} {
		for _, table := range elements(page, "table") {
			if attribute(table, "id") != group {
				continue
			}
			for _, tr := range elements(table, "tr") {
				shown[group+" "+textOf(tr.FirstChild)] = tr
			}
		}
	}
	given, estimates := 0, 0
	for _, e := range s.Entries() {
		group := "inputs-assumed"
		if e.Origin == scenario.Set {
			group = "inputs-given"
		}
		if e.Path == "title" || e.Origin != scenario.Set && !e.Main {
			continue
		}
		tr := shown[group+" "+e.Path]
		if !assert.NotNil(t, tr, e.Path) {
			continue
		}
		if e.Origin == scenario.Set {
			given++
			assert.Regexp(t, `line \d+`, textOf(tr), e.Path)
		}
		if e.Estimate {
			estimates++
		}
		assert.Equal(t, e.Estimate, strings.Contains(textOf(tr), "estimate "), e.Path)
		assert.Contains(t, textOf(tr), e.Text(si.US), e.Path)
		var full []string
		for _, v := range e.SI {
			full = append(full, strconv.FormatFloat(v, 'f', -1, 64))
		}
		for _, data := range elements(tr, "data") {
			assert.Equal(t, strings.Join(full, " "), attribute(data, "value"), e.Path)
		}
	}
	assert.Greater(t, given, 10)
	assert.Positive(t, estimates)
	assert.Contains(t, textOf(page), s.Hash())
	assert.Contains(t, textOf(page), "kneepoint report")
}

// Nothing is fetched, and no id stands twice.
func TestReportStandsAlone(t *testing.T) {
	t.Parallel()
	address := regexp.MustCompile(`(?i)url\(|@import|https?://`)
	for _, verb := range []string{"curve", "reserve", "run", "failures", "sweep"} {
		page, _ := reportOf(t, verb, "si")
		ids := map[string]bool{}
		for n := range page.Descendants() {
			if n.Type != html.ElementNode {
				continue
			}
			assert.NotContains(t, []string{"link", "img", "iframe", "object", "embed", "base", "image", "use"}, n.Data)
			for _, a := range n.Attr {
				switch a.Key {
				case "src", "href", "srcset", "action", "poster", "data", "xlink:href":
					assert.True(t, strings.HasPrefix(a.Val, "#") || strings.HasPrefix(a.Val, "data:"), "%s=%q", a.Key, a.Val)
				case "id":
					assert.False(t, ids[a.Val], "%s stands twice", a.Val)
					ids[a.Val] = true
				case "style":
					t.Errorf("a style at %s", n.Data)
				}
				assert.NotRegexp(t, address, a.Val)
			}
			if n.Data == "style" {
				assert.NotRegexp(t, address, textOf(n))
			}
			if n.Data == "script" {
				assert.Equal(t, "application/json", attribute(n, "type"))
			}
		}
		for _, name := range []string{"aria-labelledby", "href"} {
			for n := range page.Descendants() {
				for _, to := range strings.Fields(attribute(n, name)) {
					assert.True(t, ids[strings.TrimPrefix(to, "#")], "%s=%s leads nowhere", name, to)
				}
			}
		}
		assert.Equal(t, 1, strings.Count(textOf(elements(page, "body")[0]), "not a safety approval"), "the caution stands once")
	}
}

// Words and tables are in the units asked for; the values beside them are SI in both.
func TestReportFollowsUnits(t *testing.T) {
	t.Parallel()
	us, _ := reportOf(t, "curve", "us")
	metric, _ := reportOf(t, "curve", "si")
	var values [2][]string
	for i, page := range []*html.Node{us, metric} {
		for _, n := range elements(page, "data") {
			values[i] = append(values[i], attribute(n, "value"))
		}
		other := regexp.MustCompile(`\d (lbf|psi|inHg|in)\b`)
		if i == 0 {
			other = regexp.MustCompile(`\d (N|MPa|mm)\b`)
		}
		looked := 0
		for _, n := range append(elements(page, "p"), elements(page, "table")...) {
			if attribute(n, "id") == "inputs-given" {
				continue // sizes to choose from stand there as they were written
			}
			looked++
			assert.NotRegexp(t, other, textOf(n))
		}
		assert.Greater(t, looked, 5)
	}
	require.NotEmpty(t, values[0])
	assert.Equal(t, values[0], values[1])
}

// What is on the page is what its command line gives again.
func TestReportIsTheSameAgain(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("a choice with chances for each of two first pages")
	}
	file := filepath.Join(t.TempDir(), "a car.toml")
	require.NoError(t, os.WriteFile(file, []byte(everything), 0o666))
	args := []string{"report", file, "--study", "curve,balance", "--set", `title="it's"`, "--set", "source.vacuum=15 inHg", "--units", "si"}
	status, first, trouble := run(t, args...)
	require.Equal(t, done, status, trouble)
	_, again, _ := run(t, args...)
	assert.Equal(t, first, again)
	page := parsePage(t, []byte(first))
	assert.Equal(t, "it's", textOf(elements(page, "h1")[0]))
	codes := elements(page, "dd")
	typed := textOf(codes[len(codes)-1])
	assert.Equal(t, `kneepoint report "`+file+`" --study curve,balance --set 'title="it'\''s"' --set "source.vacuum=15 inHg" --units si`, typed)
}

// A report takes what the scenario has sections for, unless it is told otherwise.
func TestReportChoosesItsStudies(t *testing.T) {
	t.Parallel()
	const plain = "title = 'plain'\n[source]\nkind = 'bench'\nvacuum = '20 inHg'\n[pedal]\nratio = 4.0\n[master]\nbore = '1 in'\n[booster]\n"
	for _, c := range []struct {
		document string
		args     []string
		want     []string
	}{
		{everything, nil, []string{"diagnose", "choose", "curve", "reserve", "balance", "failures", "run"}},
		{plain + "diameter = '9 in'\n", nil, []string{"curve", "reserve"}},
		{plain + "kind = 'none'\n", nil, []string{"curve"}},
		{everything, []string{"--study", "run,curve"}, []string{"curve", "run"}},
		{plain + "diameter = '9 in'\n", []string{"--over", "pedal.ratio=3..5/2"}, []string{"curve", "reserve", "sweep"}},
	} {
		con := &console{out: &bytes.Buffer{}, err: &bytes.Buffer{}}
		root := con.root()
		cmd, _, err := root.Find([]string{"report"})
		require.NoError(t, err)
		require.NoError(t, cmd.ParseFlags(c.args))
		s, err := scenario.Read(strings.NewReader(c.document), "car.toml")
		require.NoError(t, err)
		named, err := cmd.Flags().GetStringSlice("study")
		require.NoError(t, err)
		r := reporting{studies: con.studies, named: named, owner: map[string]string{}}
		r.addFlags(&cobra.Command{})
		chosen, err := r.chosen(cmd, s)
		require.NoError(t, err)
		var names []string
		for _, v := range chosen {
			names = append(names, v.command.Name())
		}
		assert.Equal(t, c.want, names, "%s %v", c.document, c.args)
	}
}

func TestShellWord(t *testing.T) {
	t.Parallel()
	for arg, want := range map[string]string{
		"car.toml": "car.toml", "": `""`, "11 inHg": `"11 inHg"`, "a=b": "a=b", `x="1 in"`: `'x="1 in"'`,
		"$HOME": "'$HOME'", "it's": `"it's"`, `it's "x"`: `'it'\''s "x"'`, "a*b": `"a*b"`, "a;b": `"a;b"`, "back`tick": "'back`tick'",
	} {
		assert.Equal(t, want, shellWord(arg))
	}
}
