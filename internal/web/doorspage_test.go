package web

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/browsertest"
)

// look keeps what the window shows in the folder that KNEEPOINT_LOOK names.
func look(t *testing.T, b *browsertest.Tab, name string) {
	t.Helper()
	if dir := os.Getenv("KNEEPOINT_LOOK"); dir != "" {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name+".png"), b.Picture(), 0o644))
	}
}

func typed(b *browsertest.Tab, text string) {
	browsertest.Command(b, input.InsertText, input.InsertTextParams{Text: text})
}

// The three doors have one car: what is answered at one is the car of the others, and is
// there when the page is opened again. All of it by the keyboard alone.
func TestThreeDoorsOneCar(t *testing.T) {
	browsertest.Long(t)
	axe, checked := browsertest.ReadAxe(t)
	for _, size := range []struct {
		name        string
		width, high int64
	}{{"desktop", 1280, 720}, {"phone", 360, 740}} {
		t.Run(size.name, func(t *testing.T) {
			server := serving(t, nil)
			b := openPage(t, server.URL(), size.width, size.high)
			check := func(name string) {
				t.Helper()
				assert.Empty(t, overflow(b), name)
				look(t, b, size.name+"-"+name)
				if checked {
					axe.Check(t, b, 15)
				}
			}
			look(t, b, size.name+"-how")

			b.Run(`document.querySelector("[data-door=will]").focus()`)
			b.Key("Enter")
			b.Wait(`!document.getElementById("door-will").hidden && document.getElementById("door-how").hidden`)
			assert.Equal(t, "will-title", browsertest.Eval[string](b, `document.activeElement.id`))
			b.Key("Tab")
			assert.Equal(t, "answer-0", browsertest.Eval[string](b, `document.activeElement.id`), "the first field is the next stop")
			typed(b, "a lot")
			b.Key("Enter")
			b.Wait(`!document.getElementById("answer-0-slip").hidden`)
			assert.Contains(t, browsertest.Eval[string](b, `document.getElementById("answer-0-slip").textContent`), `vacuum in gear: read "a lot", want `)
			b.Wait(`document.activeElement.id === "answer-0"`)
			assert.True(t, browsertest.Eval[bool](b, `document.getElementById("will-answer").hidden`))
			check("will-slip")
			b.Run(`document.activeElement.select()`)
			typed(b, "11 inHg")
			b.Key("Enter")
			b.Wait(`!document.getElementById("will-answer").hidden && document.activeElement.id === "will-answer-title"`)
			assert.Contains(t, browsertest.Eval[string](b, `document.querySelector("#will-shown .first").textContent`), "Will it stop?")
			b.Wait(`localStorage.getItem("car")?.includes("11 inHg")`)
			check("will-answer")

			// Nothing is forgotten by loading the page again.
			b.Visit(server.URL())
			b.Wait(`document.getElementById("answer-0")?.value === "11 inHg" && !document.getElementById("door-will").hidden`)

			b.Run(`document.querySelector("[data-door=why]").click()`)
			b.Wait(`document.querySelectorAll("#why-choices input[type=radio]").length > 5`)
			check("why-complaint")
			b.Run(`document.querySelector("#why-choices input").focus()`)
			b.Key(" ")
			b.Key("Enter")
			b.Wait(`document.getElementById("why-text").textContent !== "" && !document.getElementById("why-text").textContent.startsWith("What is wrong")`)
			check("why-test")
			b.Run(`document.getElementById("why-cant").click()`)
			b.Wait(`localStorage.getItem("car").includes("reading")`)
			b.Run(`document.getElementById("why-finish").click()`)
			b.Wait(`!document.getElementById("why-answer").hidden`)
			check("why-answer")
			b.Run(`document.getElementById("why-anew").click()`)
			b.Wait(`document.getElementById("why-text").textContent.startsWith("What is wrong")`)
			b.Wait(`localStorage.getItem("car").includes("11 inHg") && !localStorage.getItem("car").includes("reading")`)
			b.Clean()
		})
	}
}

// A log that is dropped is fitted and drawn; one that cannot be is said with its line, and
// so is a scenario, while the car stays.
func TestAGaugeLogIsDropped(t *testing.T) {
	s := starterScenario(t, "gauge-log")
	server := serving(t, s)
	b := openPage(t, server.URL(), wide, tall)
	drop := func(name, text string) {
		b.Run(fmt.Sprintf(`const d = new DataTransfer(); d.items.add(new File([%q], %q));
			window.dispatchEvent(new DragEvent("drop", { dataTransfer: d, cancelable: true }))`, text, name))
	}
	drop("gauge.csv", "time [s],vacuum [inHg]\n0,18\n1,cat\n")
	b.Wait(`!document.getElementById("log-problem").hidden`)
	assert.Contains(t, browsertest.Eval[string](b, `document.getElementById("log-problem").textContent`), "gauge.csv:3: ")
	drop("car.toml", "[booster]\nratio = 0.5\n")
	b.Wait(`!document.getElementById("file-problem").hidden`)
	assert.Contains(t, browsertest.Eval[string](b, `document.getElementById("file-problem").textContent`), "car.toml:2: booster.ratio")
	assert.Equal(t, s.Title, carTitle(b))
	b.TakeTroubles() // the browser logs each refusal of the server
	log, err := os.ReadFile(filepath.Join("..", "..", "scenarios", "gauge-log.csv"))
	require.NoError(t, err)
	drop("gauge-log.csv", string(log))
	b.Wait(`!document.getElementById("log-answer").hidden && document.querySelectorAll("#log-shown .picture circle").length > 50`)
	look(t, b, "log")
	b.Clean()
}
