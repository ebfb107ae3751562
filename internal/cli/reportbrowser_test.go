package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/browsertest"
)

// reportFile writes a report of the test car with the widest and longest of tables.
func reportFile(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	car, out := filepath.Join(dir, "car.toml"), filepath.Join(dir, "car.html")
	require.NoError(t, os.WriteFile(car, []byte(everything), 0o666))
	status, _, trouble := run(t, "report", car, "--study", "choose,curve,reserve,balance,failures,run", "-o", out)
	require.Equal(t, done, status, trouble)
	return out
}

// viewAs lays the report out for a medium and a colour scheme.
func viewAs(b *browsertest.Tab, width int64, media, scheme string) {
	b.Resize(width, 900)
	browsertest.Command(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Media: media, Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
	})
}

// On a screen it is legible and within the screen, light and dark, by the rules of
// axe-core; and it asks for no other file.
func TestReportInABrowser(t *testing.T) {
	b := browsertest.Open(t)
	file := "file://" + reportFile(t)
	b.Visit(file)
	axe, ok := browsertest.ReadAxe(t)
	if !ok {
		t.Log("KNEEPOINT_AXE names no axe.min.js: its rules are left out")
	}
	for _, width := range []int64{1280, 390} {
		for _, scheme := range []string{"light", "dark"} {
			t.Run(fmt.Sprintf("%d %s", width, scheme), func(t *testing.T) {
				viewAs(b, width, "screen", scheme)
				assert.LessOrEqual(t, browsertest.Eval[int64](b, `document.scrollingElement.scrollWidth`), width, "nothing sticks out")
				assert.NotEqual(t, "rgba(0, 0, 0, 0)", browsertest.Eval[string](b, `getComputedStyle(document.documentElement).backgroundColor`), "the policy lets the look in")
				shown := browsertest.Eval[int](b, `[...document.querySelectorAll("figure svg")].filter((s) => s.checkVisibility()).length`)
				assert.Equal(t, shown, browsertest.Eval[int](b, `document.querySelectorAll("figure").length`), "each picture once")
				if ok {
					axe.Check(t, b, 15)
				}
			})
		}
	}
	assert.Equal(t, []string{file}, b.Requests())
	b.Clean()
}

// On paper nothing is wider or, where it must not be cut, higher than a page, and ink
// is black, whatever the screen likes.
func TestReportOnPaper(t *testing.T) {
	b := browsertest.Open(t)
	b.Visit("file://" + reportFile(t))
	const inch = 96 // CSS pixels
	for name, paper := range map[string]struct{ width, height float64 }{"A4": {8.27, 11.69}, "Letter": {8.5, 11}} {
		t.Run(name, func(t *testing.T) {
			// The margins of page.css: 14 mm at the sides, 15 and 17 mm above and below.
			width, height := (paper.width-28/25.4)*inch, (paper.height-32/25.4)*inch
			viewAs(b, int64(width), "print", "dark")
			assert.Equal(t, "rgb(0, 0, 0)", browsertest.Eval[string](b, `getComputedStyle(document.body).color`))
			assert.Equal(t, "rgb(255, 255, 255)", browsertest.Eval[string](b, `getComputedStyle(document.documentElement).backgroundColor`))
			wide := browsertest.Eval[[]string](b, fmt.Sprintf(`[...document.querySelectorAll("body *")].filter((e) => e.getBoundingClientRect().right > %f).map((e) => e.tagName + " " + e.id + " " + e.textContent.slice(0, 40))`, width+0.5))
			assert.Empty(t, wide, "cut at the side")
			high := browsertest.Eval[[]string](b, fmt.Sprintf(`[...document.querySelectorAll("figure, tr, table.whole, dl")].filter((e) => e.getBoundingClientRect().height > %f).map((e) => e.tagName + " " + e.id)`, height))
			assert.Empty(t, high, "higher than a page")
			assert.Greater(t, browsertest.Eval[int](b, `document.querySelectorAll("table.whole").length`), 3)

			css := true
			pdf := browsertest.Command(b, page.PrintToPDF, page.PrintToPDFParams{PaperWidth: paper.width, PaperHeight: paper.height, PreferCSSPageSize: &css})
			require.True(t, strings.HasPrefix(string(pdf.Data), "%PDF-"))
			if dir := os.Getenv("KNEEPOINT_KEEP_PDF"); dir != "" {
				require.NoError(t, os.WriteFile(filepath.Join(dir, "report-"+name+".pdf"), pdf.Data, 0o666))
			}
		})
	}
}
