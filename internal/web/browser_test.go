package web

import (
	"fmt"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"

	"kneepoint/internal/browsertest"
)

// openPage shows the page in a browser of its own.
func openPage(t testing.TB, address string, width, height int64) *browsertest.Tab {
	t.Helper()
	b := browsertest.Open(t)
	b.Resize(width, height)
	b.Visit(address)
	b.Wait(`document.body.dataset.time !== undefined`)
	return b
}

const (
	wide   = 1440
	narrow = 390
	tall   = 900
)

// seen is what stands on the page at one moment, in SI.
type seen struct {
	Time, Vacuum, Line, Bare, Force, Left, Made float64
	Now                                         string
}

func seenOn(b *browsertest.Tab) seen {
	return browsertest.Eval[seen](b, `(() => {
		const si = (id) => Number(document.getElementById(id).dataset.si);
		return { Time: Number(document.body.dataset.time), Vacuum: si("vacuum"), Line: si("line"), Bare: si("bare"),
			Force: si("force"), Left: si("left"), Made: si("made"), Now: document.getElementById("now").textContent };
	})()`)
}

// pedalAt scrolls the pedal into view and returns its middle.
func pedalAt(b *browsertest.Tab) (x, y float64) {
	at := browsertest.Eval[[2]float64](b, `(() => {
		const e = document.getElementById("pedal");
		e.scrollIntoView({ block: "center" });
		const r = e.getBoundingClientRect();
		return [r.x + r.width / 2, r.y + r.height / 2];
	})()`)
	return at[0], at[1]
}

// A way of pressing the pedal.
type presser struct {
	name       string
	down, up   func(*browsertest.Tab)
	width, top int64
}

func space(b *browsertest.Tab, kind input.DispatchKeyEventType, text string) {
	browsertest.Command(b, input.DispatchKeyEvent, input.DispatchKeyEventParams{Type: kind, Key: " ", Code: "Space", Text: text, WindowsVirtualKeyCode: 32})
}

var pressers = []presser{
	{
		name: "mouse", width: wide, top: tall,
		down: func(b *browsertest.Tab) {
			x, y := pedalAt(b)
			b.Do(chromedp.MouseEvent(chromedp.MousePressed, x, y, chromedp.ButtonLeft))
		},
		up: func(b *browsertest.Tab) {
			x, y := pedalAt(b)
			b.Do(chromedp.MouseEvent(chromedp.MouseReleased, x, y, chromedp.ButtonLeft))
		},
	},
	{
		name: "keyboard", width: wide, top: tall,
		down: func(b *browsertest.Tab) {
			b.Run(`document.getElementById("pedal").focus()`)
			space(b, input.DispatchKeyEventTypeKeyDown, " ")
		},
		up: func(b *browsertest.Tab) { space(b, input.DispatchKeyEventTypeKeyUp, "") },
	},
	{
		name: "finger", width: narrow, top: 844,
		down: func(b *browsertest.Tab) {
			x, y := pedalAt(b)
			browsertest.Command(b, input.DispatchTouchEvent, input.DispatchTouchEventParams{
				Type: input.DispatchTouchEventTypeTouchStart, TouchPoints: []*input.TouchPoint{{X: x, Y: y}},
			})
		},
		up: func(b *browsertest.Tab) {
			browsertest.Command(b, input.DispatchTouchEvent, input.DispatchTouchEventParams{
				Type: input.DispatchTouchEventTypeTouchEnd, TouchPoints: []*input.TouchPoint{},
			})
		},
	},
}

// turnEngine clicks the ignition.
func turnEngine(b *browsertest.Tab, to string) {
	b.Run(fmt.Sprintf(`document.querySelector("input[name=engine][value=%s]").click()`, to))
}

// overflow names what reaches beyond the right edge.
func overflow(b *browsertest.Tab) []string {
	return browsertest.Eval[[]string](b, `(() => {
		if (document.documentElement.scrollWidth <= innerWidth) return [];
		return [...document.querySelectorAll("body *")].filter((e) => e.getBoundingClientRect().right > innerWidth + 1)
			.map((e) => e.tagName + "#" + e.id + "." + e.className);
	})()`)
}

// carTitle is what the page calls its car.
func carTitle(b *browsertest.Tab) string {
	return browsertest.Eval[string](b, `document.getElementById("car-title").textContent`)
}

// waitForCar lets time pass until the page has a car of that title.
func waitForCar(b *browsertest.Tab, title string) {
	b.Wait(fmt.Sprintf(`document.getElementById("car-title").textContent === %q`, title))
}
