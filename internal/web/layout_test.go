package web

import (
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"

	"kneepoint/internal/browsertest"
)

// crowded names the words that lie over one another or are cut: those of the drawing
// among themselves and by its edge, and what stands in a box by the box.
const crowded = `(() => {
	const out = [], seen = (e) => e.getClientRects().length > 0 && getComputedStyle(e).visibility !== "hidden" && e.textContent.trim() !== "";
	const sheet = document.getElementById("cutaway").getBoundingClientRect();
	const words = [...document.querySelectorAll("#cutaway text")].filter(seen).map((e) => [e.textContent, e.getBoundingClientRect(), e]);
	// A box of letters is as high as the typeface's longest strokes: a fifth of it is air.
	const over = (a, b) => a.left < b.right - 1 && b.left < a.right - 1 && a.top + a.height / 5 < b.bottom - b.height / 5 && b.top + b.height / 5 < a.bottom - a.height / 5;
	words.forEach(([text, r], i) => {
		if (r.left < sheet.left - 1 || r.right > sheet.right + 1 || r.top < sheet.top - 1 || r.bottom > sheet.bottom + 1) out.push(text + " is cut by the drawing's edge");
		for (const [other, o] of words.slice(i + 1)) if (over(r, o)) out.push(text + " lies over " + other);
	});
	for (const e of document.querySelectorAll("#cutaway .wall")) for (const [text, r] of words) if (over(r, e.getBoundingClientRect())) out.push(text + " lies over the firewall");
	for (const e of document.querySelectorAll("#cutaway .load")) for (const [text, r] of words) if (over(r, e.getBoundingClientRect())) out.push(text + " lies over the road");
	for (const e of document.querySelectorAll(".dials dd, .dials dt, #now, #told, #verdict, button, .choice span, .slide output, figcaption")) {
		if (!seen(e)) continue;
		if (e.scrollWidth > e.clientWidth + 1 && getComputedStyle(e).display !== "inline") out.push(e.textContent + " is wider than its box");
		if (e.getBoundingClientRect().right > innerWidth + 1) out.push(e.textContent + " reaches over the window's edge");
	}
	return out;
})()`

// screens are the sizes that the page is laid out for, with their texts' share of the
// usual size.
var screens = []struct {
	width, height int64
	percent       int
}{{360, 740, 100}, {360, 740, 200}, {768, 1024, 100}, {1280, 720, 100}, {1280, 720, 200}, {1920, 1080, 100}}

func TestNothingIsCutOrOverlaps(t *testing.T) {
	browsertest.Long(t)
	for _, starter := range []string{"stock-ten-inch", "big-cam-tandem", "big-cam-pump"} {
		b := openPage(t, serving(t, starterScenario(t, starter)).URL(), wide, tall)
		for _, s := range screens {
			t.Run(fmt.Sprintf("%s %dx%d at %d%%", starter, s.width, s.height, s.percent), func(t *testing.T) {
				b.Resize(s.width, s.height)
				b.Run(fmt.Sprintf(`document.documentElement.style.fontSize = %d === 100 ? "" : "%gpx"`, s.percent, 0.17*float64(s.percent)))
				for _, limit := range []int{0, 400} {
					b.Run(fmt.Sprintf(`const l = document.getElementById("limit"), k = document.getElementById("keep");
						l.value = %d; l.dispatchEvent(new Event("input")); k.checked = %t; k.dispatchEvent(new Event("change"))`, max(20, limit), limit > 0))
					b.Do(chromedp.Sleep(700 * time.Millisecond))
					for _, look := range []string{"us light", "si dark"} {
						for _, value := range []string{look[:2], look[3:]} {
							b.Run(fmt.Sprintf(`document.querySelector("input[value=%s]").click()`, value))
						}
						b.Do(chromedp.Sleep(100 * time.Millisecond)) // some pictures
						assert.Empty(t, browsertest.Eval[[]string](b, crowded), "%d N, %s", limit, look)
						assert.Empty(t, overflow(b), "%d N, %s", limit, look)
					}
				}
			})
		}
		b.Clean()
	}
}

// The numbers that move while the pedal is pressed stand on the first screen of a
// small desktop.
func TestDialsAreAboveTheFold(t *testing.T) {
	b := openPage(t, serving(t, nil).URL(), 1280, 720)
	assert.LessOrEqual(t, browsertest.Eval[float64](b, `document.querySelector(".dials").getBoundingClientRect().bottom`), 720.)
	b.Clean()
}
