package cli

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
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
func onePage(t testing.TB) string {
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

	inPage := asksPage(t, func(expression string) string { return browsertest.Eval[string](b, expression) })
	everyExample(t, inPage)
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
			asksPage(t, func(expression string) string { return browsertest.Eval[string](b, expression) })(c[0], string(text))
			t.Logf("%s, in the page and on the command line: %v", c[0], time.Since(begin))
			b.Clean()
		})
	}
}

// pageInFirefox opens the page in Firefox, which has another engine.
func pageInFirefox(t *testing.T) *browsertest.Firefox {
	t.Helper()
	path := onePage(t)
	f := browsertest.OpenFirefox(t)
	f.Visit("file://" + path)
	for begin := time.Now(); f.Eval(`String(globalThis.kneepoint !== undefined && document.getElementById("car-title").textContent !== "")`) != "true"; {
		require.Less(t, time.Since(begin), 90*time.Second, "the page never came up: %q", f.Troubles)
		time.Sleep(50 * time.Millisecond)
	}
	return f
}

func TestOneFileInFirefox(t *testing.T) {
	f := pageInFirefox(t)
	everyExample(t, asksPage(t, f.Eval))
	f.Clean()
}

func TestOneFileTakesItsTimeInFirefox(t *testing.T) {
	f := pageInFirefox(t)
	inPage := asksPage(t, f.Eval)
	for _, c := range [][2]string{{"choose", "which-booster"}, {"diagnose", "hard-pedal"}} {
		text, err := scenarios.Read(c[1])
		require.NoError(t, err)
		inPage(c[0], string(text))
	}
	f.Clean()
}

// everyExample asks the quick verbs about every example, and one that is wrong.
func everyExample(t *testing.T, inPage func(verb, document string)) {
	t.Helper()
	for _, name := range scenarios.Names() {
		text, err := scenarios.Read(name)
		require.NoError(t, err)
		for _, verb := range []string{"check", "curve", "reserve", "balance", "failures", "run"} {
			inPage(verb, string(text))
		}
	}
	inPage("reserve", "[booster]\nratio = 0.5\n")
}

// asksPage asks a page and the command line for a verb. What is wrong is said by both in
// the same words.
func asksPage(t *testing.T, eval func(expression string) string) func(verb, document string) {
	return func(verb, document string) {
		t.Helper()
		status, want, trouble := Verb(t.Context(), verb, document)
		quoted, err := json.Marshal(document)
		require.NoError(t, err)
		got := eval(`kneepoint("` + verb + `", ` + string(quoted) + `).then((d) => JSON.stringify(d), (e) => "failed: " + e.problems.join("\n"))`)
		if status != done {
			assert.Equal(t, "failed: "+strings.TrimSpace(trouble), got)
			return
		}
		// Both are read and written again by the page's own parser, so that only the numbers count.
		again, err := json.Marshal(want)
		require.NoError(t, err)
		holdsTo(t, verb, document, got, eval(`JSON.stringify(JSON.parse(`+string(again)+`))`))
	}
}

func holdsTo(t *testing.T, verb, document, got, same string) {
	t.Helper()
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
// are the processor's own.
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

// What takes its time tells how far it is, and is stopped by ending its workers; the next
// question is answered by fresh ones, and the pedal has gone on meanwhile.
func TestOneFileHasAWayOut(t *testing.T) {
	path := onePage(t)
	b := browsertest.Open(t)
	b.Visit("file://" + path)
	b.Wait(`document.body.dataset.time !== undefined`)
	text, err := scenarios.Read("which-booster")
	require.NoError(t, err)
	quoted, err := json.Marshal(string(text))
	require.NoError(t, err)
	type left struct {
		Told, Of     int
		Why          string
		Before, Then float64
		Fresh        int
	}
	got := browsertest.Eval[left](b, `(async () => {
		const way = new AbortController(), out = { Told: 0, Before: Number(document.body.dataset.time) };
		const progress = (done, of) => { out.Told++; out.Of = of; if (out.Told === 5) way.abort(new Error("enough")); };
		await globalThis.kneepoint("choose", `+string(quoted)+`, { signal: way.signal, progress }).catch((e) => { out.Why = e.message; });
		out.Then = Number(document.body.dataset.time);
		out.Fresh = (await globalThis.kneepoint("reserve", `+string(quoted)+`)).stops.length;
		return out;
	})()`)
	assert.GreaterOrEqual(t, got.Told, 5)
	assert.Greater(t, got.Of, 10)
	assert.Equal(t, "enough", got.Why)
	assert.Greater(t, got.Then, got.Before, "the pedal goes on")
	assert.Positive(t, got.Fresh)
	b.Clean()
}

// The doors work from the file as they do from a server, and the car stays where a link
// brings none.
func TestOneFileHasThreeDoors(t *testing.T) {
	path := onePage(t)
	b := browsertest.Open(t)
	b.Visit("file://" + path)
	b.Wait(`document.body.dataset.time !== undefined`)
	b.Run(`document.querySelector("[data-door=will]").click();
		document.getElementById("answer-0").value = "11 inHg";
		document.getElementById("will-form").requestSubmit()`)
	b.Wait(`document.querySelector("#will-work progress").value > 0`)
	b.Wait(`!document.getElementById("will-answer").hidden`)
	// The page says what the command line says.
	var out, trouble strings.Builder
	require.Equal(t, done, Main(t.Context(), []string{"ask", "--answers", "-", "--format", "json"}, strings.NewReader("vacuum in gear = 11 inHg\n"), &out, &trouble), trouble.String())
	var page struct{ Advice string }
	require.NoError(t, json.Unmarshal([]byte(out.String()), &page))
	b.Run(`document.querySelector("input[name=units][value=si]").click()`)
	assert.Contains(t, browsertest.Eval[string](b, `document.getElementById("will-shown").textContent`), page.Advice)
	before := browsertest.Eval[string](b, `localStorage.getItem("car")`)
	b.Run(`location.hash = "#car=AAAA"`)
	b.Wait(`!document.getElementById("file-problem").hidden`)
	assert.Contains(t, browsertest.Eval[string](b, `document.getElementById("file-problem").textContent`), "link: read ")
	assert.Equal(t, before, browsertest.Eval[string](b, `localStorage.getItem("car")`))
	b.Clean()
}

// A browser without what the page is made for says so in one sentence.
func TestOneFileInAnOldBrowser(t *testing.T) {
	text, err := os.ReadFile(onePage(t))
	require.NoError(t, err)
	// Before the page's own script WebAssembly goes, which its policy has to allow.
	old := filepath.Join(t.TempDir(), "old.html")
	const policy = "script-src '"
	page := strings.Replace(string(text), policy, "script-src 'sha256-"+scriptSum("delete globalThis.WebAssembly;")+"' '", 1)
	page = strings.Replace(page, "<body>", "<body><script>delete globalThis.WebAssembly;</script>", 1)
	require.NoError(t, os.WriteFile(old, []byte(page), 0o600))
	b := browsertest.Open(t)
	b.Visit("file://" + old)
	b.Wait(`!document.getElementById("gone").hidden`)
	assert.Equal(t, "This browser is too old for the program inside this page: it has no WebAssembly.", browsertest.Eval[string](b, `document.querySelector("#gone p").textContent`))
}

func scriptSum(script string) string {
	sum := sha256.Sum256([]byte(script))
	return base64.StdEncoding.EncodeToString(sum[:])
}
