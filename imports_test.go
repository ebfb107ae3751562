package kneepoint_test

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const module = "kneepoint"

// mayImport lists, for every package, which others of the module it may import
// in its program files. Imports go one way:
//
//	cli -> film -> web -> report -> chart -> study, diagnose, fit -> workshop -> scenario, sim -> physics, ode -> si
//
// What shows a result knows no study: report and chart see the shape of an answer.
var mayImport = map[string][]string{
	"cmd/kneepoint": {"internal/cli"},
	// The program inside a page, which a browser's worker runs.
	"cmd/kneepage":        {"internal/pageworker"},
	"internal/pageworker": {"internal/cli", "internal/web", "internal/batch", "sim/scenario"},
	"docs/example":        {"sim/study", "sim/scenario", "sim/si"},
	"internal/cli": {
		"internal/pattern",
		"internal/sourcenote",
		"internal/verdict",
		"internal/licence", "internal/pagefile", "internal/film", "internal/web", "internal/report", "internal/chart", "scenarios",
		"internal/ask",
		"sim/study", "internal/diagnose", "sim/fit", "internal/batch", "sim/answer", "sim/gaugelog", "sim/scenario", "sim", "sim/si",
	},
	"internal/web": {"internal/pattern", "internal/portable",
		"internal/verdict",
		"internal/report", "internal/chart", "scenarios",
		"internal/ask", "sim/study", "internal/diagnose", "sim/fit", "internal/workshop",
		"sim/gaugelog", "sim/answer", "sim/scenario", "sim", "sim/si",
	},
	"internal/film":   {"internal/web", "sim/study", "sim/answer", "sim/scenario", "sim", "sim/si"},
	"internal/report": {"internal/pattern", "internal/chart", "sim/answer", "sim/si"},
	"internal/chart":  {"sim/answer", "sim/si"},
	// The rooms, by question. None asks another but diagnose the workshop, and
	// ask the study.
	"sim/study": {"internal/portable",
		"internal/sourcenote",
		"internal/verdict",
		"sim/answer", "internal/batch", "internal/precision", "sim/scenario", "sim", "sim/si", "internal/physics", "internal/rootfind",
	},
	"internal/ask":      {"internal/pattern", "sim/study", "internal/verdict", "sim/answer", "internal/batch", "sim/scenario", "sim", "sim/si"},
	"internal/diagnose": {"internal/portable", "internal/verdict", "internal/sourcenote", "internal/workshop", "sim/answer", "internal/batch", "sim/scenario", "sim", "sim/si"},
	"internal/workshop": {"internal/portable", "internal/verdict", "sim/answer", "internal/precision", "sim/scenario", "sim", "sim/si", "internal/rootfind"},
	"sim/fit": {"internal/portable",
		"sim/answer", "internal/batch", "sim/gaugelog", "sim/scenario", "sim", "sim/si", "internal/leastsquares",
	},
	// What the rooms share.
	"internal/precision":  {"sim"},
	"internal/batch":      {},
	"internal/pattern":    {},
	"internal/rootfind":   {},
	"sim/answer":          {"sim/si"},
	"sim/gaugelog":        {"internal/pattern", "sim/scenario", "sim/si"},
	"sim/scenario":        {"internal/pattern", "internal/portable", "internal/verdict", "sim", "sim/si", "internal/physics"},
	"internal/sourcenote": {"internal/verdict", "sim/answer", "sim/scenario", "sim", "sim/si", "internal/physics"},
	"internal/verdict":    {"sim/answer", "sim", "sim/si"},
	"sim":                 {"internal/portable", "sim/si", "internal/physics", "internal/ode"},
	"internal/physics":    {"internal/portable", "sim/si"},
	"internal/ode":        {"internal/portable", "sim/si"},
	// Knows no car at all.
	"internal/leastsquares": {},
	"sim/si":                {"internal/pattern", "internal/portable"},
	"internal/portable":     {},
	"internal/pagefile":     {},
	"scenarios":             {},
	"internal/licence":      {},
	"internal/release":      {"internal/cli", "internal/licence"},
	// Tools of the tests: none of the lists above has one, so that the program
	// cannot come to need them.
	"internal/browsertest": {},
	"internal/answertest":  {"sim/answer", "sim/si"},
}

func TestImportsGoOneWay(t *testing.T) {
	t.Parallel()
	graph := importGraph(t)
	require.Contains(t, graph, "sim/si", "the walk found the packages")
	for pkg, imports := range graph {
		allowed, known := mayImport[pkg]
		if !assert.True(t, known, "%s is a new package: say here what it may import", pkg) {
			continue
		}
		for _, imported := range imports {
			assert.Contains(t, allowed, imported, "%s imports %s", pkg, imported)
		}
	}
}

// The lists themselves must not hold a circle, or "one way" means nothing.
func TestAllowedImportsHaveNoCircle(t *testing.T) {
	t.Parallel()
	var visit func(pkg string, above []string)
	visit = func(pkg string, above []string) {
		require.NotContains(t, above, pkg, "a circle: %s", strings.Join(append(above, pkg), " -> "))
		for _, next := range mayImport[pkg] {
			visit(next, append(slices.Clone(above), pkg))
		}
	}
	for pkg := range mayImport {
		visit(pkg, nil)
	}
}

// importGraph reads, for every package of the module, which others of it its
// program files import.
func importGraph(t *testing.T) map[string][]string {
	t.Helper()
	graph := map[string][]string{}
	err := filepath.WalkDir(".", func(file string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := entry.Name()
		if entry.IsDir() {
			if _, err := os.Stat(filepath.Join(file, "go.mod")); file != "." && err == nil {
				return filepath.SkipDir // a module of its own: what measures this one
			}
			if file != "." && (strings.HasPrefix(name, ".") || strings.HasPrefix(name, "_") || name == "testdata") {
				return filepath.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			return nil
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		pkg := path.Dir(filepath.ToSlash(file))
		graph[pkg] = append(graph[pkg], []string{}...)
		for _, spec := range parsed.Imports {
			imported, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return err
			}
			if inside, ok := strings.CutPrefix(imported, module+"/"); ok && !slices.Contains(graph[pkg], inside) {
				graph[pkg] = append(graph[pkg], inside)
			}
		}
		return nil
	})
	require.NoError(t, err)
	return graph
}
