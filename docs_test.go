package kneepoint_test

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/cli"
)

// The program in docs/go.md is the one that is built and vetted.
func TestProgramOfTheDocs(t *testing.T) {
	t.Parallel()
	page, err := os.ReadFile("docs/go.md")
	require.NoError(t, err)
	_, rest, found := strings.Cut(string(page), "```go\n")
	require.True(t, found)
	program, _, found := strings.Cut(rest, "```")
	require.True(t, found)
	built, err := os.ReadFile("docs/example/main.go")
	require.NoError(t, err)
	assert.Equal(t, string(built), program)
}

// pages reads README.md and docs/*.md.
func pages(t *testing.T) map[string]string {
	t.Helper()
	names, err := filepath.Glob("docs/*.md")
	require.NoError(t, err)
	out := map[string]string{}
	for _, name := range append(names, "README.md") {
		text, err := os.ReadFile(name)
		require.NoError(t, err)
		out[name] = string(text)
	}
	return out
}

var link = regexp.MustCompile(`\]\(([^)#]+)[)#]`)

// What a page points at is there.
func TestLinksOfTheDocs(t *testing.T) {
	t.Parallel()
	found := 0
	for name, text := range pages(t) {
		for _, m := range link.FindAllStringSubmatch(text, -1) {
			if !strings.Contains(m[1], "://") {
				found++
				assert.FileExists(t, filepath.Join(filepath.Dir(name), m[1]), name)
			}
		}
	}
	assert.Greater(t, found, 15)
}

// A commandLine is one that a page tells to type, with what the page says it prints: some
// of its lines, in their order.
type commandLine struct {
	typed  string
	prints []string
}

var (
	fence  = regexp.MustCompile("(?ms)^```[a-z]*\n(.*?)^```$")
	inline = regexp.MustCompile("`(kneepoint [^`]+)`")
	prompt = regexp.MustCompile(`^(?:\$ )?(?:go run \./cmd/)?(kneepoint .*)$`)
)

func commandLines(text string) (all []commandLine) {
	for _, block := range fence.FindAllStringSubmatch(text, -1) {
		for line := range strings.Lines(block[1]) {
			line = strings.TrimRight(line, "\n")
			switch m := prompt.FindStringSubmatch(line); {
			case m != nil:
				all = append(all, commandLine{typed: m[1]})
			case len(all) > 0 && line != "" && strings.Contains(block[1], "$ kneepoint"):
				last := &all[len(all)-1]
				last.prints = append(last.prints, line)
			}
		}
	}
	for _, m := range inline.FindAllStringSubmatch(fence.ReplaceAllString(text, ""), -1) {
		all = append(all, commandLine{typed: strings.Join(strings.Fields(m[1]), " ")})
	}
	return all
}

var word = regexp.MustCompile(`(?:[^\s"']|"[^"]*"|'[^']*')+`)

// arguments splits a command line as a shell would.
func arguments(typed string) []string {
	words := word.FindAllString(typed, -1)
	for i, w := range words {
		words[i] = strings.NewReplacer(`"`, "", "'", "").Replace(w)
	}
	return words[1:]
}

// Verbs that wait for someone, or work for long, are only asked whether they know these
// flags, unless the page shows what they print.
var parsed = []string{"ask", "choose", "diagnose", "film", "fit", "page", "report", "serve", "sweep"}

// Every command line of the pages is one that the program takes, and prints what the page
// says it does.
func TestCommandLinesOfTheDocs(t *testing.T) {
	all := pages(t)
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(filepath.Join(dir, "scenarios"), os.DirFS("scenarios")))
	example, err := os.ReadFile("scenarios/big-cam-nine.toml")
	require.NoError(t, err)
	for _, name := range []string{"car.toml", "before.toml", "after.toml"} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), example, 0o666))
	}
	t.Chdir(dir)
	tried, shown := 0, 0
	for name, text := range all {
		for _, line := range commandLines(text) {
			args := arguments(line.typed)
			if args[0] == "VERB" {
				continue // any
			}
			if slices.Contains(parsed, args[0]) && len(line.prints) == 0 {
				args = append(args, "--help")
			}
			if len(line.prints) > 0 && testing.Short() {
				continue
			}
			var out, trouble bytes.Buffer
			status := cli.Main(t.Context(), args, strings.NewReader(""), &out, &trouble)
			assert.Zero(t, status, "%s: %s\n%s", name, line.typed, trouble.String())
			tried++
			rest := out.String()
			for _, want := range line.prints {
				shown++
				_, after, found := strings.Cut(rest, want+"\n")
				if !found {
					_, after, found = strings.Cut(rest, want) // a line cut short
				}
				assert.True(t, found, "%s: %s does not print %q where the page has it:\n%s", name, line.typed, want, out.String())
				rest = after
			}
		}
	}
	t.Logf("%d command lines, %d lines of what they print", tried, shown)
	assert.Greater(t, tried, 20)
}
