package web

import (
	"fmt"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/stretchr/testify/assert"

	"kneepoint/internal/browsertest"
)

func number(b *browsertest.Tab, expression string) float64 {
	return browsertest.Eval[float64](b, expression)
}

// On a phone the doors stand beside each other, and what a tapped part is can be read
// without a search for it.
func TestPhoneShowsDoorsAndParts(t *testing.T) {
	b := openPage(t, serving(t, nil).URL(), 360, 740)
	assert.InDelta(t, 1, number(b, `new Set([...document.querySelectorAll("#doors button")].map((e) => e.getBoundingClientRect().top)).size`), 0)
	b.Wait(`document.getElementById("verdict").textContent !== ""`)
	b.Run(`const e = document.querySelector("[data-part=diaphragm]"); e.scrollIntoView({ block: "center" }); e.dispatchEvent(new MouseEvent("click", { bubbles: true }))`)
	b.Wait(`document.getElementById("told").textContent.startsWith("Diaphragm")`)
	// To the pixel: a scroll ends on a whole one.
	assert.Less(t, number(b, `document.getElementById("told").getBoundingClientRect().bottom`), 741.)
	assert.GreaterOrEqual(t, number(b, `document.querySelector("[data-part=diaphragm]").getBoundingClientRect().top`), 0.)
	b.Clean()
}

// What was wrong with a file is no longer said at another door, and the list of examples
// says what the car is.
func TestShelfSaysWhatIs(t *testing.T) {
	b := openPage(t, serving(t, nil).URL(), 1280, 720)
	chosen := func(want string) {
		t.Helper()
		b.Wait(fmt.Sprintf(`document.getElementById("starter").selectedOptions[0].text === %q`, want))
	}
	chosen("as started")
	b.Run(`const e = document.getElementById("starter"); e.value = "mountain"; e.dispatchEvent(new Event("change"))`)
	mountain := starterScenario(t, "mountain").Title
	waitForCar(b, mountain)
	chosen(mountain)
	b.Run(`const e = document.getElementById("control-circuits"); e.value = e.value === "dual" ? "single" : "dual"; e.dispatchEvent(new Event("change"))`)
	chosen("another car")

	b.Run(`const d = new DataTransfer(); d.items.add(new File(["[booster]\nratio = 0.5\n"], "car.toml"));
		window.dispatchEvent(new DragEvent("drop", { dataTransfer: d, cancelable: true }))`)
	b.Wait(`!document.getElementById("file-problem").hidden`)
	b.TakeTroubles() // the browser logs each refusal of the server
	b.Run(`document.querySelector("[data-door=will]").click()`)
	b.Wait(`document.getElementById("file-problem").hidden`)
	assert.Greater(t, number(b, `document.getElementById("kept").getBoundingClientRect().top - document.getElementById("save").getBoundingClientRect().bottom`), 8.)
	b.Clean()
}

// What is pressed is large enough, and its words do not touch its edge.
func TestWordsHaveRoomInTheirButtons(t *testing.T) {
	b := openPage(t, serving(t, nil).URL(), 1280, 720)
	// 5 px on either side is common practice, no source.
	assert.Empty(t, browsertest.Eval[[]string](b, `[...document.querySelectorAll("#ignition span, #pace span")].filter((e) => {
		const r = document.createRange();
		r.selectNodeContents(e);
		return e.getBoundingClientRect().width - r.getBoundingClientRect().width < 10;
	}).map((e) => e.textContent)`))
	b.Run(`document.querySelector(".skip").focus()`)
	assert.GreaterOrEqual(t, number(b, `document.querySelector(".skip").getBoundingClientRect().height`), 40.)
	b.Clean()
}

// On paper no short table is parted from its head, and the answers given are there.
func TestPaperKeepsTablesTogether(t *testing.T) {
	c := newCustomer(t, openPage(t, serving(t, nil).URL(), wide, tall))
	c.goTo("why")
	c.complain()
	c.Run(`document.getElementById("why-finish").click()`)
	c.Wait(`!document.getElementById("why-answer").hidden`)
	assert.NotContains(t, c.text("why-shown"), "pedal-ratio-wrong", "names are said in words")
	assert.Contains(t, c.text("why-shown"), "pedal ratio too small")
	assert.False(t, c.shown("why-printed"))
	browsertest.Command(c.Tab, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
	assert.True(t, c.shown("why-printed"))
	assert.Contains(t, c.text("why-printed"), "The pedal is hard")
	browsertest.Command(c.Tab, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{})
	c.goTo("will")
	c.Run(`document.getElementById("will-form").requestSubmit()`)
	c.Wait(`!document.getElementById("will-answer").hidden`)
	browsertest.Command(c.Tab, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
	assert.Equal(t, []string{"avoid", "avoid", "avoid"}, browsertest.Eval[[]string](c.Tab, `[...document.querySelectorAll("#will-shown .shown-table")].map((e) => getComputedStyle(e).breakInside)`))
	c.Clean()
}
