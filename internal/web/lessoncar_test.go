package web

import (
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"

	"kneepoint/internal/browsertest"
)

// keptCar is the text that this browser keeps of the car, "" where nothing was given.
func keptCar(b *browsertest.Tab) string {
	return browsertest.Eval[string](b, `JSON.parse(localStorage.getItem("car"))?.text ?? ""`)
}

const endLesson = `document.querySelector("#lesson [aria-label='End the lesson']").click()`

// A step that only tells something may follow one with a task: on the way back, and in the
// next lesson.
func TestLessonStepsWithoutATaskFollowThoseWithOne(t *testing.T) {
	browsertest.Long(t)
	b := openPage(t, serving(t, nil).URL(), wide, tall)
	p := &pupil{b, t}
	p.begin(1)
	p.next()
	b.Run(`[...document.querySelectorAll("#lesson button")].find((b) => b.textContent === "Back").click()`)
	p.settled()
	assert.Contains(t, browsertest.Eval[string](b, `document.getElementById("lesson-title").textContent`), "1 of 5")
	p.begin(3)
	p.next()
	p.begin(1)
	assert.Contains(t, browsertest.Eval[string](b, `document.querySelector(".lesson-text").textContent`), "To stop a car")
	b.Clean()
}

// What nobody knew of a car before a lesson is not known after it.
func TestLessonsLeaveUnknownWhatWasUnknown(t *testing.T) {
	browsertest.Long(t)
	b := openPage(t, serving(t, nil).URL(), wide, tall)
	p := &pupil{b, t}
	title := carTitle(b)
	p.begin(3)
	b.Wait(fmt.Sprintf(`document.getElementById("car-title").textContent !== %q`, title))
	b.Run(endLesson)
	waitForCar(b, title)
	assert.Empty(t, keptCar(b))
	b.Run(`document.querySelector("[data-door=will]").click()`)
	b.Wait(`!document.getElementById("door-will").hidden`)
	b.Do(chromedp.Sleep(500 * time.Millisecond))
	assert.Empty(t, browsertest.Eval[string](b, `[...document.querySelectorAll("#will-questions [id$=-said]")].map((e) => e.textContent).join("")`), "the car has nothing to say to a question")

	// What is given after a lesson is kept again.
	b.Run(`document.querySelector("[data-door=how]").click(); document.getElementById("lessons-start").click()`)
	b.Run(`const e = document.getElementById("control-circuits"); e.value = "single"; e.dispatchEvent(new Event("change"))`)
	b.Wait(`localStorage.getItem("car")?.includes("circuits")`)
	b.Clean()
}

// However quickly one lesson follows another, the car that comes back is the user's.
func TestLessonAfterLessonGivesTheCarBack(t *testing.T) {
	browsertest.Long(t)
	s := starterScenario(t, "mountain")
	b := openPage(t, serving(t, s).URL(), wide, tall)
	p := &pupil{b, t}
	p.begin(3)
	b.Run(`document.getElementById("lessons-start").click(); document.querySelectorAll(".lessons button")[6].click()`)
	p.settled()
	b.Run(endLesson + `; document.getElementById("lessons-start").click(); document.querySelectorAll(".lessons button")[0].click()`)
	p.settled()
	b.Run(endLesson)
	waitForCar(b, s.Title)
	b.Do(chromedp.Sleep(500 * time.Millisecond))
	assert.Equal(t, s.Title, carTitle(b))
	b.Clean()
}

// A car that is opened in the middle of a lesson is what the user wants: no end of that
// lesson takes it away.
func TestOpenedCarOutlivesALesson(t *testing.T) {
	browsertest.Long(t)
	s := starterScenario(t, "mountain")
	b := openPage(t, serving(t, nil).URL(), wide, tall)
	p := &pupil{b, t}
	p.begin(3)
	b.Run(`const e = document.getElementById("starter"); e.value = "mountain"; e.dispatchEvent(new Event("change"))`)
	waitForCar(b, s.Title)
	b.Wait(`document.getElementById("lesson").hidden`)
	assert.Equal(t, s.Given(), keptCar(b))
	b.Clean()
}

// Behind the other doors is the user's car, also when they are opened out of a lesson that
// hides a fault in its own.
func TestOtherDoorsHaveNoLessonsCar(t *testing.T) {
	browsertest.Long(t)
	s := starterScenario(t, "mountain")
	b := openPage(t, serving(t, s).URL(), wide, tall)
	p := &pupil{b, t}
	p.begin(6)
	// The number is typed, and the lesson left before the fault is hidden.
	b.Run(`document.getElementById("lesson-number").value = "7"; [...document.querySelectorAll("#lesson button")].find((b) => b.textContent === "Hide the fault").click();
		document.querySelector("[data-door=will]").click()`)
	waitForCar(b, s.Title)
	b.Do(chromedp.Sleep(3 * time.Second)) // the sound car's readings come, too late
	assert.Equal(t, s.Given(), keptCar(b))
	assert.Equal(t, "none", browsertest.Eval[string](b, `document.getElementById("control-fault").value`))
	assert.False(t, browsertest.Eval[bool](b, `document.getElementById("save").disabled`))
	assert.True(t, browsertest.Eval[bool](b, `document.getElementById("lesson").hidden`))
	b.Clean()
}
