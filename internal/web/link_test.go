package web

import (
	"bytes"
	"compress/flate"
	"encoding/base64"
	"fmt"
	"io"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/browsertest"
	"kneepoint/scenarios"
)

// packed is a fragment with a text, made by Go's own deflate and base64.
func packed(t *testing.T, text string) string {
	t.Helper()
	var out bytes.Buffer
	w, err := flate.NewWriter(&out, flate.BestCompression)
	require.NoError(t, err)
	_, err = io.WriteString(w, text)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	return "#car=" + base64.RawURLEncoding.EncodeToString(out.Bytes())
}

// unpacked is the text in a link.
func unpacked(t *testing.T, link string) string {
	t.Helper()
	_, letters, ok := strings.Cut(link, "#car=")
	require.True(t, ok, link)
	data, err := base64.RawURLEncoding.DecodeString(letters)
	require.NoError(t, err)
	text, err := io.ReadAll(flate.NewReader(bytes.NewReader(data)))
	require.NoError(t, err)
	return string(text)
}

// follow clicks a link to the page that is already open.
func follow(b *browsertest.Tab, fragment string) {
	b.Run(`document.getElementById("file-problem").hidden = true; location.hash = "` + fragment + `"`)
}

// A car that was changed goes by its link to another browser, and nothing of it is in any
// address that is asked for.
func TestLinkHoldsTheCar(t *testing.T) {
	s := starterScenario(t, "big-cam-reservoir")
	here := openPage(t, serving(t, s).URL(), narrow, 844)
	here.Run(`const e = document.getElementById("control-circuits"); e.value = "single"; e.dispatchEvent(new Event("change"))`)
	here.Wait(`document.getElementById("control-circuits").value === "single" && document.getElementById("linked").hidden`)
	want, err := turn(s, changeRequest{Control: "circuits", Value: "single"})
	require.NoError(t, err)
	var link string
	require.Eventually(t, func() bool {
		here.Run(`if (document.getElementById("linked").hidden) document.getElementById("link").click()`)
		here.Wait(`document.getElementById("link-address").value !== ""`)
		link = browsertest.Eval[string](here, `document.getElementById("link-address").value`)
		return unpacked(t, link) == want.String()
	}, 10*time.Second, 100*time.Millisecond, "the link never held the changed car")
	assert.Empty(t, overflow(here))
	assert.Less(t, len(link), 2000, "a link that any messenger carries")
	here.Clean()

	there := openPage(t, serving(t, nil).URL()+link[strings.Index(link, "#"):], wide, tall)
	waitForCar(there, s.Title)
	assert.Equal(t, "single", browsertest.Eval[string](there, `document.getElementById("control-circuits").value`))
	assert.Empty(t, browsertest.Eval[string](there, `location.hash`), "to load it again does not bring an old car back")
	there.Run(`document.getElementById("link").click()`)
	there.Wait(`document.getElementById("link-address").value !== ""`)
	assert.Equal(t, want.String(), unpacked(t, browsertest.Eval[string](there, `document.getElementById("link-address").value`)))
	for _, address := range there.Requests() {
		before, _, _ := strings.Cut(address, "#")
		assert.NotContains(t, before, "car=")
	}
	there.Clean()
}

// A link that cannot be is refused in words, and the car on the page stays.
func TestLinkIsRefused(t *testing.T) {
	s := starterScenario(t, "stock-ten-inch")
	b := openPage(t, serving(t, s).URL(), wide, tall)
	text, err := scenarios.Read("big-cam-reservoir")
	require.NoError(t, err)
	whole := packed(t, string(text))
	for _, of := range []struct{ name, fragment, words string }{
		{"empty", "#car=", "link: read nothing"},
		{"strange letters", "#car=ab!cd", `link: read "!" in it`},
		{"cut off", whole[:len(whole)-40], "letters that are cut off or changed"},
		{"too much behind it", whole + "AAAA", "letters that are cut off or changed"},
		{"a bomb", packed(t, strings.Repeat("# ", 2<<20)), "more than 1 MiB"},
		{"no text", packed(t, "title = \"\xff\""), "bytes that are no text"},
		{"a scenario that is wrong", packed(t, "# a comment\n[booster]\nratio = 0.5\n"), "link:3: booster.ratio: read 0.5"},
		{"no scenario at all", packed(t, "hello"), "link:1: "},
	} {
		t.Run(of.name, func(t *testing.T) {
			follow(b, of.fragment)
			b.Wait(`!document.getElementById("file-problem").hidden`)
			assert.Contains(t, browsertest.Eval[string](b, `document.getElementById("file-problem").textContent`), of.words)
			assert.Equal(t, s.Title, carTitle(b))
			before := seenOn(b).Time
			b.Do(chromedp.Sleep(200 * time.Millisecond))
			assert.Greater(t, seenOn(b).Time, before, "the page goes on")
		})
	}
	t.Run("an old browser", func(t *testing.T) {
		b.Run(`globalThis.kept = DecompressionStream; delete globalThis.DecompressionStream`)
		follow(b, whole+"#")
		b.Wait(`!document.getElementById("file-problem").hidden`)
		assert.Contains(t, browsertest.Eval[string](b, `document.getElementById("file-problem").textContent`), "this browser is too old")
		b.Run(`globalThis.DecompressionStream = kept`)
	})
	b.TakeTroubles() // the browser logs each refusal of the server
	follow(b, whole)
	b.Wait(fmt.Sprintf(`document.getElementById("car-title").textContent !== %q`, s.Title))
	assert.True(t, browsertest.Eval[bool](b, `document.getElementById("file-problem").hidden`))
	b.Clean()
}
