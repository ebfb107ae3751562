package web

import (
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"

	"kneepoint/internal/browsertest"
)

func TestTimeCanBeStoppedAndStretched(t *testing.T) {
	b := openPage(t, serving(t, nil).URL(), wide, tall)
	pace := func(value string) { b.Run(`document.querySelector('input[name=pace][value="` + value + `"]').click()`) }
	now := func() float64 { return seenOn(b).Time }
	pace("0")
	b.Do(chromedp.Sleep(300 * time.Millisecond))
	stopped := now()
	b.Do(chromedp.Sleep(500 * time.Millisecond))
	assert.Equal(t, stopped, now(), "time stands still")
	b.Run(`document.getElementById("one-step").click()`)
	b.Do(chromedp.Sleep(500 * time.Millisecond))
	assert.InDelta(t, stopped+0.02, now(), 1e-6, "one step")

	// The car's time over the browser's own, so that a busy machine does not matter.
	pace("0.02")
	clock := func() [2]float64 {
		return browsertest.Eval[[2]float64](b, `[Number(document.body.dataset.time), performance.now() / 1000]`)
	}
	b.Do(chromedp.Sleep(300 * time.Millisecond))
	from := clock()
	b.Do(chromedp.Sleep(3 * time.Second))
	to := clock()
	assert.Greater(t, to[0], from[0])
	assert.LessOrEqual(t, (to[0]-from[0])/(to[1]-from[1]), 0.0205, "a fiftieth, or less where the machine is late")

	// A chosen part tells what it is and what it is doing.
	b.Run(`document.querySelector("[data-part=check-valve]").dispatchEvent(new MouseEvent("click"))`)
	pace("1")
	b.Wait(`/^Check valve: .*(Open|Shut)/.test(document.getElementById("told").textContent)`)
	// A fault is marked where it sits.
	b.Run(`const f = document.getElementById("control-fault"); f.value = "diaphragm-torn"; f.dispatchEvent(new Event("change"))`)
	b.Wait(`document.querySelector(".part.broken")?.dataset.part === "diaphragm"`)
	b.Clean()
}
