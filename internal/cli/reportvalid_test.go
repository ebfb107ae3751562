package cli

import (
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Two validators find no error: html-validate by the rules that it recommends, and the
// Nu checker by the standard. Each is used where its variable says where it is.
func TestReportIsValidHTML(t *testing.T) {
	validator := func(t *testing.T, variable string) string {
		path := os.Getenv(variable)
		if path == "" {
			require.NotEqual(t, "1", os.Getenv("KNEEPOINT_NEED_VALIDATOR"), "%s is needed", variable)
			t.Skipf("%s names no validator", variable)
		}
		return path
	}
	pages := sync.OnceValues(func() (right, broken string) {
		right = reportFile(t)
		broken = filepath.Join(t.TempDir(), "broken.html")
		text, err := os.ReadFile(right)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(broken, append(text, "<p id=short><table><p>"...), 0o666))
		return right, broken
	})
	check := func(t *testing.T, command func(file string) *exec.Cmd) {
		file, broken := pages()
		out, err := command(file).CombinedOutput()
		assert.NoError(t, err, "%s", out)
		_, err = command(broken).CombinedOutput()
		assert.Error(t, err, "a validator that finds nothing finds no fault either")
	}
	t.Run("html-validate", func(t *testing.T) {
		path := validator(t, "KNEEPOINT_HTML_VALIDATE")
		rules := filepath.Join(t.TempDir(), "rules.json")
		require.NoError(t, os.WriteFile(rules, []byte(`{"root": true, "extends": ["html-validate:recommended"]}`), 0o666))
		check(t, func(file string) *exec.Cmd { return exec.CommandContext(t.Context(), path, "--config", rules, file) })
	})
	t.Run("Nu checker", func(t *testing.T) {
		path := validator(t, "KNEEPOINT_VNU")
		check(t, func(file string) *exec.Cmd {
			return exec.CommandContext(t.Context(), "java", "-jar", path, "--errors-only", file)
		})
	})
}
