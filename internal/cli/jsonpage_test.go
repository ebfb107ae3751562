package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/scenarios"
)

// jsonPage is docs/json.md read: for each heading its fields, and the headings that a
// field's own fields are under; "-" stands for the document itself.
type jsonPage struct {
	fields map[string][]string
	links  map[string]map[string]string
}

var (
	fieldCell = regexp.MustCompile("`([^`]+)`")
	shapeLink = regexp.MustCompile(`\(#([a-z-]+)\)`)
)

func readJSONPage(t *testing.T) jsonPage {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "..", "docs", "json.md"))
	require.NoError(t, err)
	p := jsonPage{map[string][]string{}, map[string]map[string]string{}}
	heading := ""
	for line := range strings.Lines(string(text)) {
		line = strings.TrimSpace(line)
		if strings.HasPrefix(line, "##") {
			heading = strings.ReplaceAll(strings.TrimLeft(line, "# "), " ", "-")
			p.links[heading] = map[string]string{}
			continue
		}
		cells := strings.SplitN(line, "|", 3)
		if len(cells) < 3 || !strings.HasPrefix(strings.TrimSpace(cells[1]), "`") {
			continue
		}
		paths := fieldCell.FindAllStringSubmatch(cells[1], -1)
		for _, m := range paths {
			if m[1] != "-" && !strings.HasSuffix(m[1], "[]") {
				p.fields[heading] = append(p.fields[heading], m[1])
			}
		}
		if link := shapeLink.FindStringSubmatch(cells[2]); link != nil {
			p.links[heading][paths[len(paths)-1][1]] = link[1]
		}
	}
	return p
}

// walk goes through a document by the page, and notes which fields it meets.
func (p jsonPage) walk(t *testing.T, verb, heading, path string, v any, met map[string]bool) {
	key := path
	if key == "" {
		key = "-"
	}
	if shape, ok := p.links[heading][key]; ok && path != "" {
		p.walk(t, verb, shape, "", v, met)
		return
	}
	switch v := v.(type) {
	case map[string]any:
		for name, below := range v {
			in, field := heading, strings.TrimPrefix(path+"."+name, ".")
			if shape := p.links[heading]["-"]; path == "" && !slices.Contains(p.fields[heading], field) && shape != "" {
				in = shape
			}
			if path == "" && slices.Contains(p.fields["every-verb"], field) && heading == verb {
				in = "every-verb"
			}
			if free(verb, field) {
				continue
			}
			if !slices.Contains(p.fields[in], field) {
				assert.Fail(t, "no such field in docs/json.md", "%s: %s (under %s)", verb, field, in)
				continue
			}
			met[in+": "+field] = true
			p.walk(t, verb, in, field, below, met)
		}
	case []any:
		for _, below := range v {
			p.walk(t, verb, heading, path+"[]", below, met)
		}
	}
}

// free reports whether the names of fields follow from what was asked, as the page says
// in words, or the documents are described elsewhere.
func free(verb, field string) bool {
	switch verb {
	case "sweep":
		return strings.HasPrefix(field, "points[].")
	case "compare":
		return strings.HasPrefix(field, "cars[].curve.") || strings.HasPrefix(field, "cars[].reserve.")
	case "fit":
		return regexp.MustCompile(`^unknowns\[\]\.(start|estimate|standard_error|low|high|at_most)|^outliers\[\]\.value|^found\[\]\.value`).MatchString(field)
	}
	return false
}

// Every field that a verb prints for a shipped scenario is on the page, and every field of
// the page is printed.
func TestJSONPageIsWhatVerbsPrint(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("every verb on every example")
	}
	page := readJSONPage(t)
	met := map[string]bool{}
	ask := func(verb string, args ...string) {
		var out, trouble bytes.Buffer
		status := Main(context.Background(), append([]string{verb, "--format", "json"}, args...), strings.NewReader(""), &out, &trouble)
		require.Equal(t, done, status, "%s %v: %s", verb, args, trouble.String())
		var doc any
		require.NoError(t, json.Unmarshal(out.Bytes(), &doc))
		page.walk(t, verb, verb, "", doc, met)
	}
	for _, name := range scenarios.Names() {
		ask("check", name)
		ask("curve", name)
		ask("reserve", name, "--set", "reserve.stops=2")
		ask("run", name)
		ask("balance", name)
		ask("failures", name)
	}
	ask("check", "--set", "pedal.ratio=9") // with a warning
	ask("reserve", "--set", "source.vacuum=10 inHg ± 1 inHg", "--set", "reserve.stops=1")
	ask("sweep", "big-cam-nine", "--over", "source.vacuum=8 inHg..12 inHg/2")
	ask("compare", "big-cam-nine", "manual-pedal")
	ask("fit", "gauge-log", filepath.Join("..", "..", "scenarios", "gauge-log.csv"))
	ask("fit", "gauge-log", spoiledLog(t), "--find", "booster.front_volume")
	ask("choose", "which-booster", "--set", "choose.boosters=9 in", "--set", "choose.bores=1 in", "--set", "choose.reservoirs=2 L")
	ask("diagnose", "hard-pedal")
	ask("ask", "--answers", filepath.Join("testdata", "vacuum-only.txt"))
	for heading, fields := range page.fields {
		for _, field := range fields {
			assert.True(t, met[heading+": "+field], "docs/json.md, %s: nothing prints %s", heading, field)
		}
	}
}

// spoiledLog is the shipped log with its vacuum column two rows late, and a dropout in it.
func spoiledLog(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "..", "scenarios", "gauge-log.csv"))
	require.NoError(t, err)
	lines := strings.Split(strings.TrimSpace(string(text)), "\n")
	first := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, "time") }) + 1
	vacuum := func(i int) string { return strings.Split(lines[i], ",")[1] }
	out := slices.Clone(lines)
	for i := first + 2; i < len(lines); i++ {
		cells := strings.Split(lines[i], ",")
		if cells[1] = vacuum(i - 2); i == first+60 {
			cells[1] = "0"
		}
		out[i] = strings.Join(cells, ",")
	}
	path := filepath.Join(t.TempDir(), "spoiled.csv")
	require.NoError(t, os.WriteFile(path, []byte(strings.Join(out, "\n")), 0o600))
	return path
}
