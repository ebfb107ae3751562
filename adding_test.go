package kneepoint_test

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// An addition is one of docs/adding.md.
type addition struct {
	name     string
	packages []string
	diff     string
}

func additions(t *testing.T) []addition {
	text, err := os.ReadFile("docs/adding.md")
	require.NoError(t, err)
	var all []addition
	for _, section := range strings.Split(string(text), "\n## ")[1:] {
		name, _, _ := strings.Cut(section, "\n")
		packages := regexp.MustCompile(`Packages: (.*)\.\n`).FindStringSubmatch(section)
		require.Len(t, packages, 2, name)
		_, diff, found := strings.Cut(section, "```diff\n")
		require.True(t, found, name)
		diff, _, found = strings.Cut(diff, "```")
		require.True(t, found, name)
		all = append(all, addition{name, strings.Split(packages[1], ", "), diff})
	}
	return all
}

// What the page shows can be added so: it fits, and the packages named beside it pass. It does
// not show that all others do; that a fault has its words in the page, a test of internal/web does.
func TestAdditionsOfTheDocs(t *testing.T) {
	if testing.Short() {
		t.Skip("it builds the model three times more")
	}
	all := additions(t)
	require.Len(t, all, 3)
	for _, a := range all {
		t.Run(a.name, func(t *testing.T) {
			overlay := map[string]map[string]string{"Replace": {}}
			here, err := os.Getwd()
			require.NoError(t, err)
			for _, file := range strings.Split("\n"+a.diff, "\n--- ")[1:] {
				lines := strings.Split(file, "\n")
				path, named := strings.CutPrefix(lines[1], "+++ b/")
				require.True(t, named, lines[1])
				before := ""
				if lines[0] != "/dev/null" {
					text, err := os.ReadFile(path)
					require.NoError(t, err)
					before = string(text)
				}
				after := patched(t, path, before, lines[2:])
				if filepath.Ext(path) != ".go" {
					continue // a script of the page: that the difference fits is all there is to see here
				}
				to := filepath.Join(t.TempDir(), filepath.Base(path))
				require.NoError(t, os.WriteFile(to, []byte(after), 0o666))
				overlay["Replace"][filepath.Join(here, path)] = to
			}
			list, err := json.Marshal(overlay)
			require.NoError(t, err)
			file := filepath.Join(t.TempDir(), "overlay.json")
			require.NoError(t, os.WriteFile(file, list, 0o666))
			args := []string{"test", "-short", "-overlay", file}
			for _, p := range a.packages {
				args = append(args, "./"+p)
			}
			out, err := exec.CommandContext(t.Context(), "go", args...).CombinedOutput()
			assert.NoError(t, err, "%s", out)
		})
	}
}

// patched is a text with the hunks of a difference, each of which has to fit in one place.
func patched(t *testing.T, path, text string, lines []string) string {
	t.Helper()
	var before, after []string
	apply := func() {
		from, to := strings.Join(before, "\n"), strings.Join(after, "\n")
		before, after = nil, nil
		if from == "" {
			text += to + "\n"
			return
		}
		require.Equal(t, 1, strings.Count(text, from), "%s, lines that fit once:\n%s", path, from)
		text = strings.Replace(text, from, to, 1)
	}
	for i, line := range lines {
		switch {
		case strings.HasPrefix(line, "@@"):
			if i > 0 {
				apply()
			}
		case strings.HasPrefix(line, "+"):
			after = append(after, line[1:])
		case strings.HasPrefix(line, "-"):
			before = append(before, line[1:])
		case line != "" || i < len(lines)-1:
			before, after = append(before, strings.TrimPrefix(line, " ")), append(after, strings.TrimPrefix(line, " "))
		}
	}
	apply()
	return text
}
