package cli

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/browsertest"
	"kneepoint/scenarios"
)

// onePage builds the page with the program inside, or takes the one that
// KNEEPOINT_PAGE names.
func onePage(t *testing.T) string {
	t.Helper()
	if path := os.Getenv("KNEEPOINT_PAGE"); path != "" {
		return path
	}
	path := filepath.Join(t.TempDir(), "kneepoint.html")
	build := exec.Command("go", "-C", filepath.Join("..", "pagebuild"), "run", ".", "-o", path)
	text, err := build.CombinedOutput()
	require.NoError(t, err, "%s", text)
	return path
}

// TestOneFile opens the page with the program inside from the disk, where nothing answers a
// request, and holds every verb on every example to the command line, to the last digit.
func TestOneFile(t *testing.T) {
	path := onePage(t)
	b := browsertest.Open(t)
	file, err := os.Stat(path)
	require.NoError(t, err)
	assert.Less(t, file.Size(), int64(5e6))
	b.Visit("file://" + path)
	b.Wait(`globalThis.kneepoint !== undefined && document.getElementById("car-title").textContent !== ""`)

	names := scenarios.Names()
	for _, name := range names {
		text, err := scenarios.Read(name)
		require.NoError(t, err)
		for _, verb := range []string{"check", "curve", "reserve", "balance", "failures", "run"} {
			inPage(t, b, verb, string(text))
		}
	}
	// What is wrong is said in the words of the command line.
	said := browsertest.Eval[string](b, `kneepoint("reserve", "[booster]\nratio = 0.5\n").then(() => "no", (e) => e.problems.join("\n"))`)
	_, _, trouble := Verb(t.Context(), "reserve", "[booster]\nratio = 0.5\n")
	assert.Equal(t, strings.TrimSpace(trouble), said)
	b.Clean()
}

// What takes long takes long in a page too, and is the same.
func TestOneFileTakesItsTime(t *testing.T) {
	path := onePage(t)
	for _, c := range [][2]string{{"choose", "which-booster"}, {"diagnose", "hard-pedal"}} {
		t.Run(c[0], func(t *testing.T) {
			text, err := scenarios.Read(c[1])
			require.NoError(t, err)
			b := browsertest.Open(t)
			b.Visit("file://" + path)
			b.Wait(`globalThis.kneepoint !== undefined && document.getElementById("car-title").textContent !== ""`)
			// Diagnose looks up what was tried on a car that differs in nothing that the trial
			// sees, so that its last digit hangs on who came first: one at a time, as in a page.
			defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
			begin := time.Now()
			inPage(t, b, c[0], string(text))
			t.Logf("%s, in the page and on the command line: %v", c[0], time.Since(begin))
			b.Clean()
		})
	}
}

// inPage asks page and command line.
func inPage(t *testing.T, b *browsertest.Tab, verb, document string) {
	t.Helper()
	status, want, trouble := Verb(t.Context(), verb, document)
	quoted, err := json.Marshal(document)
	require.NoError(t, err)
	got := browsertest.Eval[string](b, `kneepoint("`+verb+`", `+string(quoted)+`).then((d) => JSON.stringify(d), (e) => "failed: " + e.message)`)
	if status != done {
		assert.Contains(t, got, "failed: ", "%s: %s", verb, trouble)
		return
	}
	// Both are read and written again by the page's own parser, so that only the numbers count.
	again, err := json.Marshal(want)
	require.NoError(t, err)
	same := browsertest.Eval[string](b, `JSON.stringify(JSON.parse(`+string(again)+`))`)
	if same != got {
		at := 0
		for at < min(len(same), len(got)) && same[at] == got[at] {
			at++
		}
		from := max(0, at-60)
		t.Errorf("%s of %.60s: page has %.160s, command line %.160s", verb, document, got[from:], same[from:])
	}
}
