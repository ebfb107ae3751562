package web

import (
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	cdppage "github.com/chromedp/cdproto/page"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/ask"
	"kneepoint/internal/browsertest"
	"kneepoint/internal/report"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

var printedPage = regexp.MustCompile(`/Type\s*/Page\b`)

// What the page prints for the customer has the words of a report's first page, says what it
// rests on, cautions once, and takes two sheets at most, of either size.
func TestPrintsForTheCustomer(t *testing.T) {
	base, err := scenario.Builtin()
	require.NoError(t, err)
	answers := ask.New(base)
	require.NoError(t, answers.Put(ask.VacuumInGear, "11 inHg"))
	car, err := answers.Car()
	require.NoError(t, err)
	found, err := car.Page(t.Context(), nil)
	require.NoError(t, err)
	front := FrontOfCar(found, si.US)

	b := openPage(t, serving(t, nil).URL(), wide, tall)
	b.Run(`globalThis.print = () => { document.body.dataset.printed = "yes"; };
		document.querySelector("[data-door=will]").click();
		document.getElementById("answer-0").value = "11 inHg";
		document.getElementById("will-form").requestSubmit()`)
	b.Wait(`!document.getElementById("will-answer").hidden`)
	assert.False(t, browsertest.Eval[bool](b, `document.getElementById("customer").checkVisibility()`), "not on the screen")
	b.Run(`document.getElementById("will-customer").click()`)
	assert.Equal(t, "yes", browsertest.Eval[string](b, `document.body.dataset.printed`))
	text := browsertest.Eval[string](b, `document.getElementById("customer").textContent`)
	for _, words := range [][]string{front.Verdict, front.Notes, front.Do, {front.Question}} {
		require.NotEmpty(t, words)
		for _, w := range words {
			assert.Contains(t, text, w)
		}
	}
	for _, m := range front.Measure {
		assert.Contains(t, text, m.How)
	}
	assert.Equal(t, len(front.Stops.Rows)+len(front.Worth.Rows), browsertest.Eval[int](b, `document.querySelectorAll("#customer tbody tr").length`))
	assert.Contains(t, text, "Answered: vacuum in gear: 11 inHg.")
	assert.Contains(t, text, "a usual figure stands in: vacuum in neutral; booster; ")
	for size, in := range map[string][2]float64{"A4": {8.27, 11.69}, "Letter": {8.5, 11}} {
		b.Run(`document.getElementById("will-customer").click()`) // to have printed ends it
		pdf := browsertest.Command(b, cdppage.PrintToPDF, cdppage.PrintToPDFParams{PaperWidth: in[0], PaperHeight: in[1]})
		assert.LessOrEqual(t, len(printedPage.FindAll(pdf.Data, -1)), 2, size)
		assert.NotEmpty(t, printedPage.FindAll(pdf.Data, -1), size)
	}
	// On paper: the sheet and the caution, and nothing of the questions.
	b.Run(`document.getElementById("will-customer").click()`)
	browsertest.Command(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
	shown := func(id string) bool {
		return browsertest.Eval[bool](b, `document.getElementById("`+id+`").checkVisibility()`)
	}
	assert.True(t, shown("customer"))
	assert.True(t, shown("caution"))
	assert.False(t, shown("will-answer"))
	assert.Equal(t, 1, strings.Count(browsertest.Eval[string](b, `document.body.innerText`), report.Caution))
	b.Run(`dispatchEvent(new Event("afterprint"))`)
	assert.False(t, shown("customer"))
	b.Clean()
}
