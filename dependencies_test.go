package kneepoint_test

import (
	"os"
	"os/exec"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The table of dependencies has every direct one, in the version that is used.
func TestTableOfDependencies(t *testing.T) {
	t.Parallel()
	text, err := os.ReadFile("docs/dependencies.md")
	require.NoError(t, err)
	out, err := exec.Command("go", "list", "-m", "-f", "{{if not (or .Main .Indirect)}}{{.Path}} {{.Version}}{{end}}", "all").Output()
	require.NoError(t, err)
	modules := strings.Fields(string(out))
	require.NotEmpty(t, modules)
	table, _, _ := strings.Cut(string(text), "\nNewer and not taken")
	for i := 0; i < len(modules); i += 2 {
		path, version := modules[i], modules[i+1]
		if strings.HasPrefix(version, "v0.0.0-") {
			version = "a commit of " + version[7:11] + "-" + version[11:13] + "-" + version[13:15]
		}
		row := regexp.MustCompile(`(?m)^\| [^|]*\b` + regexp.QuoteMeta(path) + `[ ,].*$`).FindString(table)
		assert.Contains(t, row, version, "%s %s", path, version)
	}
}

// docs/release.md and Makefile name the same compiler for a release.
func TestCompilerOfARelease(t *testing.T) {
	t.Parallel()
	makefile, err := os.ReadFile("Makefile")
	require.NoError(t, err)
	found := regexp.MustCompile(`(?m)^RELEASE_GO = go(1\.\d+\.\d+)$`).FindSubmatch(makefile)
	require.NotNil(t, found)
	page, err := os.ReadFile("docs/release.md")
	require.NoError(t, err)
	assert.Contains(t, string(page), "built with Go "+string(found[1])+",")
}
