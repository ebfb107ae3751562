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
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/browsertest"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/study"
)

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
			b.Wait(`document.getElementById("left").dataset.si !== ""`)
			rest := seenOn(b)
			assert.InDelta(t, 18*3386, rest.Vacuum, 2*3386)
			assert.InDelta(t, 0, rest.Line, 1e3)

			p.down(b)
			b.Wait(`Number(document.getElementById("force").dataset.si) > 150`)
			b.Do(chromedp.Sleep(400 * time.Millisecond))
			pressed := seenOn(b)
			holds(t, s, rec.recorded(), pressed)
			assert.Greater(t, pressed.Line, 3e6, "the line pressure rises")
			assert.Greater(t, pressed.Line, 1.5*pressed.Bare, "and by more than a manual pedal's")

			p.up(b)
			b.Wait(`Number(document.getElementById("line").dataset.si) < 5e4`)
			released := seenOn(b)
			holds(t, s, rec.recorded(), released)
			assert.Less(t, released.Vacuum, rest.Vacuum-2e3, "the vacuum falls")
			assert.Zero(t, released.Force)
			b.Wait(fmt.Sprintf(`Number(document.getElementById("vacuum").dataset.si) > %g`, rest.Vacuum-1500))

			turnEngine(b, "off")
			for range 3 {
				p.down(b)
				b.Wait(`Number(document.getElementById("force").dataset.si) > 100`)
				p.up(b)
				b.Wait(`Number(document.getElementById("force").dataset.si) === 0`)
				b.Do(chromedp.Sleep(600 * time.Millisecond))
			}
			after := seenOn(b)
			want := holds(t, s, rec.recorded(), after)
			assert.Equal(t, 3.0, after.Made, "stops made")
			assert.Less(t, after.Vacuum, released.Vacuum)
			fresh := stopsLeft(series, want, nil)
			assert.Equal(t, float64(fresh.Stops), after.Left, "stops left")
			assert.Less(t, after.Left, float64(series.HeavyStops))

			assert.Empty(t, overflow(b), "wider than the window")
			b.Clean()
		})
	}
}

// The tour sets every state that it speaks of.
func TestTour(t *testing.T) {
	for _, width := range []int64{wide, narrow} {
		t.Run(fmt.Sprint(width), func(t *testing.T) {
			server := serving(t, starterScenario(t, "stock-ten-inch"))
			b := openPage(t, server.URL(), width, tall)
			b.Wait(`document.getElementById("left").dataset.si !== ""`)
			b.Do(chromedp.Sleep(300 * time.Millisecond)) // the curve comes at about the same time
			b.Run(`document.getElementById("tour-start").click()`)
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
				b.Wait(fmt.Sprintf(`(() => {
					const si = (id) => Number(document.getElementById(id).dataset.si);
					const line = si("line"), bare = si("bare"), made = si("made"), time = Number(document.body.dataset.time);
					const now = document.getElementById("now").textContent;
					const off = document.querySelector("input[name=engine][value=off]").checked;
					const manual = document.getElementById("manual").checked;
					return document.getElementById("tour-title").textContent.startsWith(%q) && (%s);
				})()`, title, reached))
				assert.Equal(t, "tour-title", browsertest.Eval[string](b, `document.activeElement.id`), "the step is read out")
				assert.Empty(t, overflow(b))
				b.Run(`document.getElementById("tour-next").click()`)
			}
			b.Wait(`document.getElementById("tour").hidden`)
			assert.Equal(t, "tour-start", browsertest.Eval[string](b, `document.activeElement.id`))
			b.Clean()
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
	got := browsertest.Eval[speeds](b, `import("/speed.js").then(({ speeds }) => ({
		One: speeds({ air_flow_kgps: 3e-3 }).air, Two: speeds({ air_flow_kgps: 6e-3 }).air,
		Back: speeds({ inner_flow_kgps: -1e-3 }).inner, None: speeds({ air_flow_kgps: 1e-9 }).air }))`)
	assert.Positive(t, got.One)
	assert.InEpsilon(t, 2*got.One, got.Two, 0.1)
	assert.Negative(t, got.Back)
	assert.Zero(t, got.None)

	// The drawing: as far as the speed says.
	type moved struct{ One, Two float64 }
	far := browsertest.Eval[moved](b, `import("/stream.js").then(({ Stream }) => {
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
	b.Run(`document.getElementById("limit").value = 250; document.getElementById("limit").dispatchEvent(new Event("input"))`)
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
	down := browsertest.Eval[watched](b, watch)
	pressers[1].up(b)
	up := browsertest.Eval[watched](b, watch)
	for _, w := range []watched{down, up} {
		assert.Greater(t, w.Moving, 100)
		// A picture can be drawn twice within the clock's own grain.
		assert.LessOrEqual(t, float64(w.Still), 0.02*float64(w.Moving), "standing still")
	}
	assert.Contains(t, down.Flows, "air")
	assert.Contains(t, up.Flows, "inner")
	assert.True(t, slices.Contains(up.Flows, "check") || slices.Contains(down.Flows, "check"))
	b.Clean()
}

// Who wants no motion sees no particle move, and the flow all the same.
func TestReducedMotionIsHonoured(t *testing.T) {
	server := serving(t, nil)
	b := openPage(t, server.URL(), wide, tall)
	browsertest.Command(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-reduced-motion", Value: "reduce"}}})
	pressers[1].down(b)
	b.Wait(`document.querySelector("#cutaway .stream-of[data-flow=air] .stream").getAttribute("visibility") === "visible"`)
	assert.Zero(t, browsertest.Eval[int](b, `document.querySelectorAll("#cutaway circle.dot:not([visibility=hidden])").length`))
	pressers[1].up(b)
	b.Clean()
}

// A control changes the car; a wrong file is said in the decoder's words; a saved
// one is the present car.
func TestPageChangesTheCar(t *testing.T) {
	server := serving(t, starterScenario(t, "stock-ten-inch"))
	b := openPage(t, server.URL(), wide, tall)
	b.Run(`document.getElementById("control-vacuum").focus()`)
	before := seenOn(b)
	for range 4 {
		b.Key("ArrowLeft")
	}
	b.Wait(fmt.Sprintf(`Math.abs(Number(document.getElementById("vacuum").dataset.si) - %g) < 300`, before.Vacuum-2*3386.4))

	put := func(name, text string) {
		b.Run(fmt.Sprintf(`const d = new DataTransfer(); d.items.add(new File([%q], %q));
			const f = document.getElementById("file"); f.files = d.files; f.dispatchEvent(new Event("change"))`, text, name))
	}
	put("mine.toml", "[booster]\ndiameter = \"9 on\"\n")
	b.Wait(`!document.getElementById("file-problem").hidden`)
	assert.Contains(t, browsertest.Eval[string](b, `document.getElementById("file-problem").textContent`), `mine.toml:2: booster.diameter: read "9 on"`)
	// A refused file is an answer of 422, which the browser itself logs.
	troubles := b.TakeTroubles()
	require.Len(t, troubles, 1)
	assert.Contains(t, troubles[0], "422")

	good := starterScenario(t, "single-circuit")
	put("mine.toml", good.String())
	waitForCar(b, good.Title)
	assert.True(t, browsertest.Eval[bool](b, `document.getElementById("file-problem").hidden`))

	dir := t.TempDir()
	browsertest.Command(b, cdpbrowser.SetDownloadBehavior, cdpbrowser.SetDownloadBehaviorParams{Behavior: "allow", DownloadPath: dir})
	b.Run(`document.getElementById("save").click()`)
	path := filepath.Join(dir, "mine.toml")
	require.Eventually(t, func() bool { _, err := os.Stat(path); return err == nil }, 10*time.Second, 50*time.Millisecond)
	saved, err := scenario.Open(path, nil)
	require.NoError(t, err)
	assert.Equal(t, good.Hash(), saved.Hash())
	b.Clean()
}

// The answer to one change comes while the next is being typed, and takes nothing back.
func TestLateAnswerLeavesTheSlider(t *testing.T) {
	server := serving(t, nil)
	b := openPage(t, server.URL(), wide, tall)
	got := browsertest.Eval[[]string](b, `import("/garage.js").then(({ Garage }) => {
		const sent = [], root = document.createElement("div");
		const garage = new Garage(root, { faults: [] }, { change: async (what) => { const w = what(); if (w) sent.push(w.join(" ")); } });
		const span = { min: 0, max: 25, step: 0.5, scale: 1, unit: "inHg" };
		const car = { kind: "single", shape: { dual: true, booster: true }, controls: [{ id: "vacuum", label: "", note: "", value: 18, us: span, si: span }] };
		garage.show(car);
		const slider = root.querySelector("#control-vacuum");
		slider.value = 17;
		slider.dispatchEvent(new Event("input"));
		garage.show(car); // the answer to what was asked before
		const kept = slider.value;
		slider.dispatchEvent(new Event("change"));
		slider.dispatchEvent(new Event("change")); // nothing more to send
		garage.show(car);
		return [kept, slider.value, ...sent];
	})`)
	assert.Equal(t, []string{"17", "18", "vacuum 17 inHg"}, got)
	b.Clean()
}

// A page whose car has expired builds it again and goes on.
func TestPageOutlivesItsDrive(t *testing.T) {
	server := serving(t, nil)
	b := openPage(t, server.URL(), wide, tall)
	b.Wait(`Number(document.body.dataset.time) > 0.5`)
	server.drives.mu.Lock()
	clear(server.drives.open)
	server.drives.mu.Unlock()
	b.Wait(`Number(document.body.dataset.time) < 0.3`)
	b.Wait(`Number(document.body.dataset.time) > 0.5`)
	assert.Equal(t, 1, server.drives.count())
	assert.True(t, browsertest.Eval[bool](b, `document.getElementById("gone").hidden`))
}

// The pedal is no trap for the keyboard, and the tab order reaches everything.
func TestKeyboardReachesEverything(t *testing.T) {
	server := serving(t, nil)
	b := openPage(t, server.URL(), wide, tall)
	reached := map[string]bool{}
	for range 60 {
		b.Key("Tab")
		reached[browsertest.Eval[string](b, `(() => { const e = document.activeElement; return e.id || e.name || e.tagName })()`)] = true
	}
	for _, id := range []string{
		"tour-start", "units", "theme", "pedal", "keep", "limit", "engine", "pace", "one-step", "manual", "reset", "name-all",
		"control-vacuum", "control-diameter", "control-reservoir", "control-pedal", "control-bore", "control-altitude",
		"control-kind", "control-circuits", "control-fault", "starter", "open", "save",
	} {
		assert.True(t, reached[id], "%s is not reached by the tab key", id)
	}
	b.Clean()
}

// The rules of axe-core, from the file that KNEEPOINT_AXE names.
func TestAccessibility(t *testing.T) {
	axe, ok := browsertest.ReadAxe(t)
	if !ok {
		t.Skip("KNEEPOINT_AXE names no axe.min.js")
	}
	server := serving(t, starterScenario(t, "leaky-shell"))
	for _, width := range []int64{wide, narrow} {
		for _, theme := range []string{"light", "dark"} {
			t.Run(fmt.Sprintf("%d %s", width, theme), func(t *testing.T) {
				b := openPage(t, server.URL(), width, tall)
				b.Run(fmt.Sprintf(`document.querySelector("input[name=theme][value=%s]").click(); document.getElementById("link").click(); document.getElementById("tour-start").click()`, theme))
				b.Do(chromedp.Sleep(400 * time.Millisecond))
				axe.Check(t, b, 20)
				b.Clean()
			})
		}
	}
}

// The page's own cost of a picture, while the pedal goes up and down.
func pictureTimes(b *browsertest.Tab, seconds float64) []float64 {
	for at := 0.0; at < seconds; at += 1.6 {
		pressers[1].down(b)
		b.Do(chromedp.Sleep(time.Second))
		pressers[1].up(b)
		b.Do(chromedp.Sleep(600 * time.Millisecond))
	}
	times := browsertest.Eval[[]float64](b, `import("/meter.js").then((m) => m.recent())`)
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
	b.Clean()
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
