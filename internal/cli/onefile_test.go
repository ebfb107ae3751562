package cli

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/browsertest"
	"kneepoint/scenarios"
)

// onePage is the page with the program inside that KNEEPOINT_PAGE names; to make one takes
// a minute.
func onePage(t *testing.T) string {
	t.Helper()
	path := os.Getenv("KNEEPOINT_PAGE")
	if path == "" {
		t.Skip("KNEEPOINT_PAGE names no page; make page makes dist/kneepoint.html")
	}
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
	if verb == "diagnose" {
		nearly(t, same, got)
		return
	}
	if same != got {
		at := 0
		for at < min(len(same), len(got)) && same[at] == got[at] {
			at++
		}
		from := max(0, at-60)
		t.Errorf("%s of %.60s: page has %.160s, command line %.160s", verb, document, got[from:], same[from:])
	}
}

// nearly holds a diagnosis to nine digits: its chances are sums of error functions, which
// are the processor's own, and what it looks up among like cars hangs on who came first.
func nearly(t *testing.T, want, got string) {
	t.Helper()
	var a, b any
	require.NoError(t, json.Unmarshal([]byte(want), &a))
	require.NoError(t, json.Unmarshal([]byte(got), &b))
	var same func(at string, a, b any)
	same = func(at string, a, b any) {
		switch a := a.(type) {
		case map[string]any:
			other, _ := b.(map[string]any)
			require.Len(t, other, len(a), at)
			for k := range a {
				same(at+"."+k, a[k], other[k])
			}
		case []any:
			other, _ := b.([]any)
			require.Len(t, other, len(a), at)
			for i := range a {
				same(fmt.Sprintf("%s[%d]", at, i), a[i], other[i])
			}
		case float64:
			other, _ := b.(float64)
			require.InDelta(t, a, other, 1e-9*math.Abs(a)+1e-12, at)
		default:
			require.Equal(t, a, b, at)
		}
	}
	same("", a, b)
}
