package web

import (
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/browsertest"
)

// A customer stands at one door after the other.
type customer struct {
	*browsertest.Tab
	t *testing.T
}

func newCustomer(t *testing.T, b *browsertest.Tab) *customer {
	t.Helper()
	browsertest.Long(t)
	return &customer{b, t}
}

func (c *customer) goTo(door string) {
	c.t.Helper()
	c.Run(fmt.Sprintf(`document.querySelector("[data-door=%s]").click()`, door))
	c.Wait(fmt.Sprintf(`!document.getElementById("door-%s").hidden`, door))
}

// say types an answer at "Will it work?".
func (c *customer) say(field int, answer string) {
	c.Run(fmt.Sprintf(`const e = document.getElementById("answer-%d"); e.value = %q; e.dispatchEvent(new Event("input", { bubbles: true })); e.dispatchEvent(new Event("change"))`, field, answer))
}

// ask asks there, and waits until the car is what the answers make.
func (c *customer) ask(holds string) {
	c.t.Helper()
	c.Run(`document.getElementById("will-form").requestSubmit()`)
	c.Wait(fmt.Sprintf(`!document.getElementById("will-answer").hidden && JSON.parse(localStorage.getItem("answers"))?.answers.some((a) => a.answer === %q)`, holds))
}

func (c *customer) text(id string) string {
	return browsertest.Eval[string](c.Tab, fmt.Sprintf(`document.getElementById(%q).textContent`, id))
}

func (c *customer) shown(id string) bool {
	return browsertest.Eval[bool](c.Tab, fmt.Sprintf(`document.getElementById(%q).getClientRects().length > 0`, id))
}

// complain chooses the first complaint at "Why is it hard?" and waits for the first test.
func (c *customer) complain() {
	c.t.Helper()
	c.Wait(`document.querySelectorAll("#why-choices input[type=radio]").length > 5`)
	c.Run(`document.querySelector("#why-choices input").click(); document.getElementById("why-form").requestSubmit()`)
	c.Wait(`document.getElementById("why-input") !== null`)
}

func (c *customer) field(i int) string {
	return browsertest.Eval[string](c.Tab, fmt.Sprintf(`document.getElementById("answer-%d").value`, i))
}

// What was answered at one door is there after the other one was used, and either goes on
// from what the other put into the car.
func TestOneDoorKeepsTheAnswersOfTheOther(t *testing.T) {
	server := serving(t, nil)
	c := newCustomer(t, openPage(t, server.URL(), wide, tall))
	c.goTo("will")
	c.say(0, "11 inHg")
	c.ask("11 inHg")
	c.goTo("why")
	c.complain()
	c.goTo("will")
	assert.Equal(t, "11 inHg", c.field(0))
	assert.True(t, c.shown("will-answer"), "the answer is to the same answers still")
	assert.False(t, c.shown("will-old"))
	c.say(2, "9 in") // and is not asked about yet
	c.goTo("why")
	c.Run(`document.getElementById("why-cant").click()`)
	c.Wait(`localStorage.getItem("car").includes("can't tell")`)
	c.goTo("will")
	assert.Equal(t, "9 in", c.field(2))

	// An emptied field is "don't know" again, and what was read stays.
	c.say(0, "")
	c.ask("9 in")
	require.NotContains(t, keptCar(c.Tab), "11 inHg")
	assert.NotContains(t, keptCar(c.Tab), "[master]", "nobody said what the bore is")
	assert.Contains(t, keptCar(c.Tab), `complaint = "hard"`)
	assert.Contains(t, keptCar(c.Tab), "can't tell")
	c.goTo("why")
	c.Wait(`document.getElementById("why-given").querySelectorAll("li").length === 2`)

	// Loading the page again takes none of it away.
	c.Visit(server.URL())
	c.Wait(`document.getElementById("why-given")?.querySelectorAll("li").length === 2`)
	c.goTo("will")
	assert.Equal(t, "9 in", c.field(2))
	c.Clean()
}

// An answer to what no longer stands in the fields says so, on the screen and on paper.
func TestOldAnswerIsMarked(t *testing.T) {
	c := newCustomer(t, openPage(t, serving(t, nil).URL(), wide, tall))
	c.goTo("will")
	c.say(0, "11 inHg")
	c.ask("11 inHg")
	printable := `document.getElementById("will-print").disabled`
	fresh := func() {
		t.Helper()
		assert.False(t, c.shown("will-old"))
		assert.False(t, browsertest.Eval[bool](c.Tab, printable))
		assert.Contains(t, c.text("will-answered"), "11 inHg")
	}
	fresh()
	for name, change := range map[string]func(){
		"typed":   func() { c.say(0, "18 inHg") },
		"emptied": func() { c.Run(`document.getElementById("will-clear").click()`) },
		"unknown": func() { c.Run(`document.querySelector("#will-questions button").click()`) },
	} {
		change()
		assert.True(t, c.shown("will-old"), name)
		assert.True(t, browsertest.Eval[bool](c.Tab, printable), name)
		browsertest.Command(c.Tab, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
		assert.True(t, c.shown("will-old"), "%s, on paper", name)
		assert.True(t, c.shown("will-answered"), "%s, on paper", name)
		browsertest.Command(c.Tab, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{})
		c.say(0, "11 inHg")
		fresh()
	}
	c.Clean()
}

// slowly has the page wait long for a car that it opens.
const slowly = `const ask = window.fetch; window.fetch = async (path, ...more) => {
	if (String(path).endsWith("/open")) await new Promise((done) => setTimeout(done, 700));
	return ask(path, ...more);
}`

// A question that can be read can be answered, however long the car takes.
func TestAnswerAtOnceGoesToTheQuestion(t *testing.T) {
	c := newCustomer(t, openPage(t, serving(t, nil).URL(), wide, tall))
	c.Run(slowly)
	c.goTo("why")
	c.Wait(`document.querySelectorAll("#why-choices input[type=radio]").length > 5`)
	c.Run(`document.querySelector("#why-choices input").click(); document.getElementById("why-form").requestSubmit();
		globalThis.watch = new MutationObserver(() => {
			if (!document.getElementById("why-input")) return;
			watch.disconnect();
			document.getElementById("why-cant").click();
		});
		watch.observe(document.getElementById("why-choices"), { childList: true })`)
	c.Wait(`document.getElementById("why-input") !== null`)
	c.Do(chromedp.Sleep(2 * time.Second))
	assert.Empty(t, c.text("why-problem"))
	c.Wait(`localStorage.getItem("car").includes("can't tell")`)
	c.Clean()
}

// A car that the program was started with is the page's, and what was answered over it is
// there when the page is loaded again.
func TestReloadKeepsWhatWasAnsweredOverAFile(t *testing.T) {
	s := starterScenario(t, "mountain")
	server := serving(t, s)
	c := newCustomer(t, openPage(t, server.URL(), wide, tall))
	assert.Equal(t, "started", browsertest.Eval[string](c.Tab, `document.getElementById("starter").value`))
	c.goTo("why")
	c.complain()
	c.Wait(`localStorage.getItem("car").includes("complaint")`)
	assert.Equal(t, "another car", browsertest.Eval[string](c.Tab, `document.getElementById("starter").selectedOptions[0].text`))
	c.Visit(server.URL())
	c.Wait(`document.getElementById("why-input") !== null`)
	assert.Contains(t, keptCar(c.Tab), `complaint = "hard"`)
	// Who opens the page anew has the file.
	c.Run(`sessionStorage.clear()`)
	c.Visit(server.URL())
	c.Wait(`document.querySelectorAll("#why-choices input[type=radio]").length > 5`)
	assert.Equal(t, s.Given(), keptCar(c.Tab))
	c.Clean()
}

// Next wants an answer; one that is not understood is said without a file that nobody has,
// and other units do not take away what was typed, nor the beginning anew the focus.
func TestAnswersAtWhyAreTakenCareOf(t *testing.T) {
	c := newCustomer(t, openPage(t, serving(t, nil).URL(), wide, tall))
	c.goTo("why")
	c.Wait(`document.querySelectorAll("#why-choices input[type=radio]").length > 5`)
	assert.Zero(t, browsertest.Eval[int](c.Tab, `document.querySelectorAll("#why-choices input:checked").length`))
	next := `document.getElementById("why-form").requestSubmit()`
	c.Run(next)
	assert.Equal(t, "Choose an answer first.", c.text("why-problem"))
	c.complain()
	c.Run(next)
	assert.Contains(t, c.text("why-problem"), "Can’t tell")
	c.Run(`document.getElementById("why-input").value = "three fingers"; ` + next)
	c.Wait(`document.getElementById("why-problem").textContent.includes("read \"three fingers\"")`)
	assert.NotContains(t, c.text("why-problem"), "scenario.toml")
	assert.NotContains(t, c.text("why-problem"), "reading[")
	c.TakeTroubles() // the browser logs each refusal of the server
	unit := func(of string) string { return browsertest.Eval[string](c.Tab, of+`.match(/\((\S+)\)/)[1]`) }
	const label = `document.querySelector("label[for=why-input]").textContent`
	was := unit(label)
	c.Run(`document.getElementById("why-input").value = "1.5"; document.querySelector("input[name=units][value=si]").click()`)
	c.Wait(fmt.Sprintf(`document.getElementById("why-input").value === "1.5 %s"`, was))
	assert.NotEqual(t, was, unit(label))
	c.Run(next)
	c.Wait(fmt.Sprintf(`localStorage.getItem("car").includes("1.5 %s")`, was))
	c.Wait(`document.getElementById("why-given").querySelectorAll("li").length === 2`)
	c.Run(`document.getElementById("why-anew").focus(); document.getElementById("why-anew").click()`)
	c.Wait(`document.getElementById("why-text").textContent.startsWith("What is wrong")`)
	c.Wait(`document.activeElement.closest("#why-choices") !== null`)
	c.Clean()
}
