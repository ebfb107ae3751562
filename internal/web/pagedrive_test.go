package web

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	cdpbrowser "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/study"
)

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

func (b *browser) seen() seen {
	b.t.Helper()
	return eval[seen](b, `(() => {
		const si = (id) => Number(document.getElementById(id).dataset.si);
		return { Time: Number(document.body.dataset.time), Vacuum: si("vacuum"), Line: si("line"), Bare: si("bare"),
			Force: si("force"), Left: si("left"), Made: si("made"), Now: document.getElementById("now").textContent };
	})()`)
}

// pedalAt scrolls the pedal into view and returns its middle.
func (b *browser) pedalAt() (x, y float64) {
	b.t.Helper()
	at := eval[[2]float64](b, `(() => {
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
	down, up   func(*browser)
	width, top int64
}

func key(kind input.DispatchKeyEventType, name, text string, code int64) chromedp.Action[chromedp.Void] {
	return call(input.DispatchKeyEvent, input.DispatchKeyEventParams{Type: kind, Key: name, Code: "Space", Text: text, WindowsVirtualKeyCode: code})
}

var pressers = []presser{
	{
		name: "mouse", width: wide, top: tall,
		down: func(b *browser) {
			x, y := b.pedalAt()
			b.do(chromedp.MouseEvent(chromedp.MousePressed, x, y, chromedp.ButtonLeft))
		},
		up: func(b *browser) {
			x, y := b.pedalAt()
			b.do(chromedp.MouseEvent(chromedp.MouseReleased, x, y, chromedp.ButtonLeft))
		},
	},
	{
		name: "keyboard", width: wide, top: tall,
		down: func(b *browser) {
			b.run(`document.getElementById("pedal").focus()`)
			b.do(key(input.DispatchKeyEventTypeKeyDown, " ", " ", 32))
		},
		up: func(b *browser) { b.do(key(input.DispatchKeyEventTypeKeyUp, " ", "", 32)) },
	},
	{
		name: "finger", width: narrow, top: 844,
		down: func(b *browser) {
			x, y := b.pedalAt()
			b.do(call(input.DispatchTouchEvent, input.DispatchTouchEventParams{
				Type: input.DispatchTouchEventTypeTouchStart, TouchPoints: []*input.TouchPoint{{X: x, Y: y}},
			}))
		},
		up: func(b *browser) {
			b.do(call(input.DispatchTouchEvent, input.DispatchTouchEventParams{
				Type: input.DispatchTouchEventTypeTouchEnd, TouchPoints: []*input.TouchPoint{},
			}))
		},
	},
}

// turnEngine clicks the ignition.
func (b *browser) turnEngine(to string) {
	b.t.Helper()
	b.run(fmt.Sprintf(`document.querySelector("input[name=engine][value=%s]").click()`, to))
}

// replay drives the model directly as the page did, up to a time on the page.
func replay(t *testing.T, c sim.Config, steps []stepRequest, until float64) sim.State {
	t.Helper()
	d := newDirect(t, c)
	last := d.session.State()
	for _, in := range steps {
		if float64(last.Time) >= until-1e-9 {
			break
		}
		last = d.step(in)
	}
	require.InDelta(t, until, float64(last.Time), 1e-9, "the page shows a time that no step ended at")
	return last
}

// holds wants the page to show what the model gives.
func holds(t *testing.T, s *scenario.Scenario, steps []stepRequest, got seen) sim.State {
	t.Helper()
	want := replay(t, s.Config, steps, got.Time)
	assert.InDelta(t, float64(want.FrontVacuum), got.Vacuum, 1, "front vacuum, Pa")
	assert.InDelta(t, float64(want.LineFront), got.Line, 100, "line pressure, Pa")
	assert.InDelta(t, float64(want.Pedal), got.Force, 1e-6, "pedal force, N")
	return want
}

// A real browser holds the pedal, and what stands on the page is what the model
// gives with the same inputs.
func TestPageDrivesTheModel(t *testing.T) {
	s := starterScenario(t, "stock-ten-inch")
	series, err := study.Reserve(context.Background(), engineOff(s), nil)
	require.NoError(t, err)
	for _, p := range pressers {
		t.Run(p.name, func(t *testing.T) {
			rec := &recorder{}
			server := servingThrough(t, s, rec.wrap)
			b := openPage(t, server.URL(), p.width, p.top)
			b.wait(`document.getElementById("left").dataset.si !== ""`)
			rest := b.seen()
			assert.InDelta(t, 18*3386, rest.Vacuum, 2*3386)
			assert.InDelta(t, 0, rest.Line, 1e3)

			p.down(b)
			b.wait(`Number(document.getElementById("force").dataset.si) > 150`)
			b.do(chromedp.Sleep(400 * time.Millisecond))
			pressed := b.seen()
			holds(t, s, rec.recorded(), pressed)
			assert.Greater(t, pressed.Line, 3e6, "the line pressure rises")
			assert.Greater(t, pressed.Line, 1.5*pressed.Bare, "and by more than a manual pedal's")

			p.up(b)
			b.wait(`Number(document.getElementById("line").dataset.si) < 5e4`)
			released := b.seen()
			holds(t, s, rec.recorded(), released)
			assert.Less(t, released.Vacuum, rest.Vacuum-2e3, "the vacuum falls")
			assert.Zero(t, released.Force)
			b.wait(fmt.Sprintf(`Number(document.getElementById("vacuum").dataset.si) > %g`, rest.Vacuum-1500))

			b.turnEngine("off")
			for range 3 {
				p.down(b)
				b.wait(`Number(document.getElementById("force").dataset.si) > 100`)
				p.up(b)
				b.wait(`Number(document.getElementById("force").dataset.si) === 0`)
				b.do(chromedp.Sleep(600 * time.Millisecond))
			}
			after := b.seen()
			want := holds(t, s, rec.recorded(), after)
			assert.Equal(t, 3.0, after.Made, "stops made")
			assert.Less(t, after.Vacuum, released.Vacuum)
			fresh := stopsLeft(series, want, nil)
			assert.Equal(t, float64(fresh.Stops), after.Left, "stops left")
			assert.Less(t, after.Left, float64(series.AssistedStops))

			assert.Empty(t, b.overflow(), "wider than the window")
			b.clean()
		})
	}
}

// overflow names what reaches beyond the right edge.
func (b *browser) overflow() []string {
	b.t.Helper()
	return eval[[]string](b, `(() => {
		if (document.documentElement.scrollWidth <= innerWidth) return [];
		return [...document.querySelectorAll("body *")].filter((e) => e.getBoundingClientRect().right > innerWidth + 1)
			.map((e) => e.tagName + "#" + e.id + "." + e.className);
	})()`)
}

// The tour sets every state that it speaks of.
func TestTour(t *testing.T) {
	for _, width := range []int64{wide, narrow} {
		t.Run(fmt.Sprint(width), func(t *testing.T) {
			server := serving(t, starterScenario(t, "stock-ten-inch"))
			b := openPage(t, server.URL(), width, tall)
			b.wait(`document.getElementById("left").dataset.si !== ""`)
			b.do(chromedp.Sleep(300 * time.Millisecond)) // the curve comes at about the same time
			b.run(`document.getElementById("tour-start").click()`)
			for i, reached := range []string{
				`line < 2e4 && now.startsWith("At rest")`,
				`line > 3e5 && line < 4e6`,
				`line > 1.5e6 && now.startsWith("Holding")`,
				`line > 5e6 && now.startsWith("Past the knee")`,
				`line < 5e4 && time > 2`,
				`made === 4 && off`,
				`line > bare / 20 && line < bare && manual`,
			} {
				title := fmt.Sprintf("%d of 7", i+1)
				b.wait(fmt.Sprintf(`(() => {
					const si = (id) => Number(document.getElementById(id).dataset.si);
					const line = si("line"), bare = si("bare"), made = si("made"), time = Number(document.body.dataset.time);
					const now = document.getElementById("now").textContent;
					const off = document.querySelector("input[name=engine][value=off]").checked;
					const manual = document.getElementById("manual").checked;
					return document.getElementById("tour-title").textContent.startsWith(%q) && (%s);
				})()`, title, reached))
				assert.Equal(t, "tour-title", eval[string](b, `document.activeElement.id`), "the step is read out")
				assert.Empty(t, b.overflow())
				b.run(`document.getElementById("tour-next").click()`)
			}
			b.wait(`document.getElementById("tour").hidden`)
			assert.Equal(t, "tour-start", eval[string](b, `document.activeElement.id`))
			b.clean()
		})
	}
}

// Particles move in proportion to the flow, and none stands still.
func TestParticlesMoveWithTheFlow(t *testing.T) {
	server := serving(t, starterScenario(t, "stock-ten-inch"))
	b := openPage(t, server.URL(), wide, tall)

	// The rule: twice the flow is twice the speed, backward flow is backward speed,
	// and where there would be none there is no particle.
	type speeds struct{ One, Two, Back, None float64 }
	got := eval[speeds](b, `import("/speed.js").then(({ speeds }) => ({
		One: speeds({ air_flow_kgps: 3e-3 }).air, Two: speeds({ air_flow_kgps: 6e-3 }).air,
		Back: speeds({ inner_flow_kgps: -1e-3 }).inner, None: speeds({ air_flow_kgps: 1e-9 }).air }))`)
	assert.Positive(t, got.One)
	assert.InEpsilon(t, 2*got.One, got.Two, 0.1)
	assert.Negative(t, got.Back)
	assert.Zero(t, got.None)

	// The drawing: as far as the speed says.
	type moved struct{ One, Two float64 }
	far := eval[moved](b, `import("/stream.js").then(({ Stream }) => {
		const far = (speed) => {
			const s = new Stream(document.createElementNS("http://www.w3.org/2000/svg", "g"), "test", 99);
			const path = [[0, 0], [300, 0], [300, 400]];
			s.move(path, speed, 0);
			const from = Number(s.dots[2].getAttribute("cx"));
			s.move(path, speed, 0.1);
			return Number(s.dots[2].getAttribute("cx")) - from;
		};
		return { One: far(100), Two: far(200) };
	})`)
	assert.InDelta(t, 10, far.One, 0.11)
	assert.InEpsilon(t, 2*far.One, far.Two, 0.1)

	// The page: while the pedal goes down and up, whatever is seen moves from one
	// picture to the next, at the speed that the flow says.
	type watched struct {
		Still, Moving int
		Flows         []string
	}
	b.run(`document.getElementById("limit").value = 250; document.getElementById("limit").dispatchEvent(new Event("input"))`)
	pressers[1].down(b)
	watch := `new Promise((done) => {
		const before = new Map(), flows = new Set();
		let still = 0, moving = 0, pictures = 0, last = "";
		const look = () => {
			const picture = document.getElementById("cutaway").dataset.pictures;
			if (picture === last) return requestAnimationFrame(look); // not drawn anew
			last = picture;
			for (const g of document.querySelectorAll("#cutaway .stream-of")) {
				const on = Number(g.dataset.speed) !== 0;
				if (on) flows.add(g.dataset.flow);
				for (const c of g.querySelectorAll("circle:not([visibility=hidden])")) {
					const at = c.getAttribute("cx") + " " + c.getAttribute("cy");
					if (before.get(c) === at) still++; else moving++;
					before.set(c, at);
				}
			}
			if (++pictures < 70) requestAnimationFrame(look); else done({ Still: still, Moving: moving, Flows: [...flows] });
		};
		requestAnimationFrame(look);
	})`
	down := eval[watched](b, watch)
	pressers[1].up(b)
	up := eval[watched](b, watch)
	for _, w := range []watched{down, up} {
		assert.Greater(t, w.Moving, 100)
		// A picture can be drawn twice within the clock's own grain.
		assert.LessOrEqual(t, float64(w.Still), 0.02*float64(w.Moving), "standing still")
	}
	assert.Contains(t, down.Flows, "air")
	assert.Contains(t, up.Flows, "inner")
	assert.True(t, slices.Contains(up.Flows, "check") || slices.Contains(down.Flows, "check"))
	b.clean()
}

// Who wants no motion sees no particle move, and the flow all the same.
func TestReducedMotionIsHonoured(t *testing.T) {
	server := serving(t, nil)
	b := openPage(t, server.URL(), wide, tall)
	b.do(call(emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-reduced-motion", Value: "reduce"}}}))
	pressers[1].down(b)
	b.wait(`document.querySelector("#cutaway .stream-of[data-flow=air] .stream").getAttribute("visibility") === "visible"`)
	assert.Zero(t, eval[int](b, `document.querySelectorAll("#cutaway circle.dot:not([visibility=hidden])").length`))
	pressers[1].up(b)
	b.clean()
}

// A control changes the car; a wrong file is said in the decoder's words; a saved
// one is the present car.
func TestPageChangesTheCar(t *testing.T) {
	server := serving(t, starterScenario(t, "stock-ten-inch"))
	b := openPage(t, server.URL(), wide, tall)
	b.run(`document.getElementById("control-vacuum").focus()`)
	before := b.seen()
	for range 4 {
		b.do(call(input.DispatchKeyEvent, input.DispatchKeyEventParams{Type: input.DispatchKeyEventTypeKeyDown, Key: "ArrowLeft", Code: "ArrowLeft", WindowsVirtualKeyCode: 37}))
	}
	b.wait(fmt.Sprintf(`Math.abs(Number(document.getElementById("vacuum").dataset.si) - %g) < 300`, before.Vacuum-2*3386.4))

	put := func(name, text string) {
		b.run(fmt.Sprintf(`const d = new DataTransfer(); d.items.add(new File([%q], %q));
			const f = document.getElementById("file"); f.files = d.files; f.dispatchEvent(new Event("change"))`, text, name))
	}
	put("mine.toml", "[booster]\ndiameter = \"9 on\"\n")
	b.wait(`!document.getElementById("file-problem").hidden`)
	assert.Contains(t, eval[string](b, `document.getElementById("file-problem").textContent`), `mine.toml:2: booster.diameter: read "9 on"`)
	// A refused file is an answer of 422, which the browser itself logs.
	b.mu.Lock()
	require.Len(t, b.troubles, 1)
	assert.Contains(t, b.troubles[0], "422")
	b.troubles = nil
	b.mu.Unlock()

	good := starterScenario(t, "single-circuit")
	put("mine.toml", good.String())
	b.wait(fmt.Sprintf(`document.getElementById("car-title").textContent === %q`, good.Title))
	assert.True(t, eval[bool](b, `document.getElementById("file-problem").hidden`))

	dir := t.TempDir()
	b.do(call(cdpbrowser.SetDownloadBehavior, cdpbrowser.SetDownloadBehaviorParams{Behavior: "allow", DownloadPath: dir}))
	b.run(`document.getElementById("save").click()`)
	path := filepath.Join(dir, "mine.toml")
	require.Eventually(t, func() bool { _, err := os.Stat(path); return err == nil }, 10*time.Second, 50*time.Millisecond)
	saved, err := scenario.Open(path, nil)
	require.NoError(t, err)
	assert.Equal(t, good.Hash(), saved.Hash())
	b.clean()
}

// A page whose car has expired builds it again and goes on.
func TestPageOutlivesItsDrive(t *testing.T) {
	server := serving(t, nil)
	b := openPage(t, server.URL(), wide, tall)
	b.wait(`Number(document.body.dataset.time) > 0.5`)
	server.drives.mu.Lock()
	clear(server.drives.open)
	server.drives.mu.Unlock()
	b.wait(`Number(document.body.dataset.time) < 0.3`)
	b.wait(`Number(document.body.dataset.time) > 0.5`)
	assert.Equal(t, 1, server.drives.count())
	assert.True(t, eval[bool](b, `document.getElementById("gone").hidden`))
}

// The pedal is no trap for the keyboard, and the tab order reaches everything.
func TestKeyboardReachesEverything(t *testing.T) {
	server := serving(t, nil)
	b := openPage(t, server.URL(), wide, tall)
	reached := map[string]bool{}
	for range 60 {
		b.do(call(input.DispatchKeyEvent, input.DispatchKeyEventParams{Type: input.DispatchKeyEventTypeKeyDown, Key: "Tab", Code: "Tab", WindowsVirtualKeyCode: 9}))
		reached[eval[string](b, `(() => { const e = document.activeElement; return e.id || e.name || e.tagName })()`)] = true
	}
	for _, id := range []string{
		"tour-start", "units", "theme", "pedal", "keep", "limit", "engine", "manual", "reset",
		"control-vacuum", "control-diameter", "control-reservoir", "control-pedal", "control-bore", "control-altitude",
		"control-kind", "control-circuits", "control-fault", "starter", "open", "save",
	} {
		assert.True(t, reached[id], "%s is not reached by the tab key", id)
	}
	b.clean()
}

// The rules of axe-core, from the file that KNEEPOINT_AXE names.
func TestAccessibility(t *testing.T) {
	path := os.Getenv("KNEEPOINT_AXE")
	if path == "" {
		t.Skip("KNEEPOINT_AXE names no axe.min.js")
	}
	axe, err := os.ReadFile(path)
	require.NoError(t, err)
	server := serving(t, starterScenario(t, "leaky-shell"))
	for _, width := range []int64{wide, narrow} {
		for _, theme := range []string{"light", "dark"} {
			t.Run(fmt.Sprintf("%d %s", width, theme), func(t *testing.T) {
				b := openPage(t, server.URL(), width, tall)
				b.run(fmt.Sprintf(`document.querySelector("input[name=theme][value=%s]").click(); document.getElementById("tour-start").click()`, theme))
				b.do(chromedp.Sleep(400 * time.Millisecond))
				eval[bool](b, string(axe)+"\n;true")
				found := eval[[]string](b, `axe.run().then((r) => r.violations.map((v) => v.id + ": " + v.nodes.map((n) => n.target + " " + n.failureSummary).join(" | ")))`)
				assert.Empty(t, found)
				passed := eval[int](b, `axe.run().then((r) => r.passes.length)`)
				assert.Greater(t, passed, 20, "rules were looked at")
				b.clean()
			})
		}
	}
}

// The page's own cost of a picture, while the pedal goes up and down.
func pictureTimes(b *browser, seconds float64) []float64 {
	b.t.Helper()
	for at := 0.0; at < seconds; at += 1.6 {
		pressers[1].down(b)
		b.do(chromedp.Sleep(time.Second))
		pressers[1].up(b)
		b.do(chromedp.Sleep(600 * time.Millisecond))
	}
	times := eval[[]float64](b, `import("/meter.js").then((m) => m.recent())`)
	slices.Sort(times)
	return times
}

func TestPictureTimesAreMeasured(t *testing.T) {
	server := serving(t, starterScenario(t, "big-cam-reservoir"))
	b := openPage(t, server.URL(), wide, tall)
	times := pictureTimes(b, 4)
	require.Greater(t, len(times), 20) // a busy machine draws few
	p95 := times[len(times)*95/100]
	require.False(t, math.IsNaN(p95))
	t.Logf("script time of a picture: median %.2f ms, 95 %% within %.2f ms, of %d", times[len(times)/2], p95, len(times))
	b.clean()
}

// BenchmarkPicture reports the script time of a picture in a real browser.
func BenchmarkPicture(b *testing.B) {
	server := serving(b, starterScenario(b, "big-cam-reservoir"))
	page := openPage(b, server.URL(), wide, tall)
	for b.Loop() {
		times := pictureTimes(page, 8)
		b.ReportMetric(times[len(times)/2], "ms-median")
		b.ReportMetric(times[len(times)*95/100], "ms-p95")
	}
}
