package web

import (
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"

	"kneepoint/internal/browsertest"
)

// crammed names what at the projector cannot be seen or pressed: a control of the lesson
// that is cut or has to be scrolled to, what lies over something else or is wider than its
// box, and what reaches over the window's edge.
const crammed = `(() => {
	const out = [], seen = (e) => e.checkVisibility() && !e.closest(".hidden, .skip, header") && e.getBoundingClientRect().height > 0;
	const name = (e) => e.id || e.textContent.trim() || e.className;
	const upright = innerHeight > innerWidth, panel = document.getElementById("lesson").getBoundingClientRect();
	const leaves = [...document.querySelectorAll("main button, main input[type=text], main select, .choice.wide label, .options label, .options legend, #lesson h2, #lesson p, .dials > div, #now, #cutaway, #force-curve")].filter(seen);
	leaves.forEach((a, i) => {
		const r = a.getBoundingClientRect();
		if (r.left < -1 || r.right > innerWidth + 1 || !upright && (r.top < -1 || r.bottom > innerHeight + 1)) out.push(name(a) + " reaches over the window's edge");
		if (a.closest("#lesson") && (r.bottom > panel.bottom + 1 || r.right > panel.right + 1)) out.push(name(a) + " has to be scrolled to");
		for (const b of leaves.slice(i + 1)) {
			if (a.contains(b) || b.contains(a)) continue;
			const o = b.getBoundingClientRect();
			if (r.left < o.right - 1 && o.left < r.right - 1 && r.top < o.bottom - 1 && o.top < r.bottom - 1) out.push(name(a) + " lies over " + name(b));
		}
	});
	for (const e of document.querySelectorAll("button, .choice span, .dials dt, .dials dd, .pedal .face, .pedal b")) if (seen(e) && e.scrollWidth > e.clientWidth + 1 && getComputedStyle(e).display !== "inline") out.push(name(e) + " is wider than its box");
	const face = document.querySelector(".pedal .face").getBoundingClientRect(), pedal = document.getElementById("pedal").getBoundingClientRect();
	if (face.width > pedal.width || face.height > pedal.height) out.push("the pedal's figure is cut");
	if (document.getElementById("force-curve").clientHeight < innerHeight / 7) out.push("the curve is low");
	return out;
})()`

// At the projector all of a lesson can be read and pressed in any picture: a small one, a
// square one, and one that is higher than wide.
func TestProjectorFitsEveryPicture(t *testing.T) {
	p := newPupil(t)
	p.Run(`document.querySelector("input[value=us]").click(); document.getElementById("projector").click()`)
	check := func(what string) {
		t.Helper()
		for _, size := range [][2]int64{{1280, 720}, {1024, 768}, {768, 1024}, {360, 740}} {
			p.Resize(size[0], size[1])
			p.Do(chromedp.Sleep(300 * time.Millisecond))
			look(t, p.Tab, fmt.Sprintf("projector-%s-%dx%d", what, size[0], size[1]))
			assert.Empty(t, browsertest.Eval[[]string](p.Tab, crammed), "%s at %v", what, size)
			assert.Empty(t, overflow(p.Tab), "%s at %v", what, size)
		}
	}
	check("rest")
	p.Run(`document.getElementById("lessons-start").click()`)
	check("list")
	p.begin(2)
	check("choice")
	p.begin(3)
	p.next()
	check("number")
	p.begin(6)
	p.Run(`document.getElementById("lesson-number").value = "7"; [...document.querySelectorAll("#lesson button")].find((b) => b.textContent === "Hide the fault").click()`)
	p.Wait(`document.querySelector(".bench tbody tr") !== null`)
	check("fault")
	p.Clean()
}

// The names in the curve's picture stand beside each other, however small that is.
func TestNamesInTheCurveStandApart(t *testing.T) {
	b := openPage(t, serving(t, nil).URL(), wide, tall)
	over := browsertest.Eval[[]string](b, `import("/graphs.js").then(({ ForceGraph }) => {
		const out = [], press = [[0, 0], [30, 1e5], [160, 6.2e6], [500, 9e6]];
		for (const [w, h] of [[500, 320], [500, 150], [300, 220], [640, 170], [640, 120], [290, 80], [220, 75]]) {
			const canvas = document.createElement("canvas");
			canvas.style.cssText = "position: fixed; top: 0; left: 0; width: " + w + "px; height: " + h + "px";
			document.body.append(canvas);
			const graph = new ForceGraph(canvas), words = [], put = graph.c.fillText.bind(graph.c);
			graph.c.fillText = (text, x, y) => {
				const wide = graph.c.measureText(text).width, left = { right: x - wide, center: x - wide / 2 }[graph.c.textAlign] ?? x;
				const high = parseFloat(graph.c.font.match(/([\d.]+)px/)[1]), top = graph.c.textBaseline === "top" ? y : y - high / 2;
				words.push({ text, left, right: left + wide, top: top + 2, bottom: top + high - 2 });
				put(text, x, y);
			};
			graph.show({ press, release: press, manual: [[0, 0], [500, 7.4e6]], knee: { pedal_n: 160, line_pa: 6.2e6 }, cut_in: { pedal_n: 30 } });
			graph.paint();
			words.forEach((a, i) => words.slice(i + 1).forEach((b) => {
				if (a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom) out.push(w + "x" + h + ": " + a.text + " lies over " + b.text);
			}));
			if (!words.some((a) => a.text === "knee")) out.push(w + "x" + h + ": no knee");
			canvas.remove();
		}
		return out;
	})`)
	assert.Empty(t, over)
	b.Clean()
}
