package cli

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
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

// papers are the sheets that a report is printed on, in inches.
var papers = map[string]struct{ width, height float64 }{"A4": {8.27, 11.69}, "Letter": {8.5, 11}}

// The margins of page.css, in mm: at both sides, above, below.
const sideMargins, topMargin, bottomMargin = 28, 15, 17

const inch = 96 // CSS pixels

// printArea is what a sheet has room for, in CSS pixels.
func printArea(name string) (width, height float64) {
	return (papers[name].width - sideMargins/25.4) * inch, (papers[name].height - (topMargin+bottomMargin)/25.4) * inch
}

// On paper nothing is wider or, where it must not be cut, higher than a page, and ink
// is black, whatever the screen likes. The first page is a sheet of its own, and no page
// but the last is left half empty.
func TestReportOnPaper(t *testing.T) {
	b := browsertest.Open(t)
	b.Visit("file://" + reportFile(t))
	for name, paper := range papers {
		t.Run(name, func(t *testing.T) {
			width, height := printArea(name)
			viewAs(b, int64(width), "print", "dark")
			assert.Equal(t, "rgb(0, 0, 0)", browsertest.Eval[string](b, `getComputedStyle(document.body).color`))
			assert.Equal(t, "rgb(255, 255, 255)", browsertest.Eval[string](b, `getComputedStyle(document.documentElement).backgroundColor`))
			wide := browsertest.Eval[[]string](b, fmt.Sprintf(`[...document.querySelectorAll("body *")].filter((e) => e.getBoundingClientRect().right > %f).map((e) => e.tagName + " " + e.id + " " + e.textContent.slice(0, 40))`, width+0.5))
			assert.Empty(t, wide, "cut at the side")
			high := browsertest.Eval[[]string](b, fmt.Sprintf(`[...document.querySelectorAll("figure:not(:has(.paper)), .paper > svg, tr, table.whole, dl")].filter((e) => e.getBoundingClientRect().height > %f).map((e) => e.tagName + " " + e.id)`, height/2))
			assert.Empty(t, high, "higher than half a page")
			assert.Greater(t, browsertest.Eval[int](b, `document.querySelectorAll("table.whole").length`), 3)

			css := true
			pdf := browsertest.Command(b, page.PrintToPDF, page.PrintToPDFParams{PaperWidth: paper.width, PaperHeight: paper.height, PreferCSSPageSize: &css})
			require.True(t, strings.HasPrefix(string(pdf.Data), "%PDF-"))
			dir := os.Getenv("KNEEPOINT_KEEP_PDF")
			if dir == "" {
				dir = t.TempDir()
			}
			file := filepath.Join(dir, "report-"+name+".pdf")
			require.NoError(t, os.WriteFile(file, pdf.Data, 0o666))
			shares := fullness(t, file)
			t.Logf("how full the pages are: %.2f", shares)
			for i, share := range shares[:len(shares)-1] {
				assert.Greater(t, share, 0.5, "page %d of %d", i+1, len(shares))
			}
		})
	}
}

// fullness is how far down each page of a PDF has ink, as a share of what is between its
// margins. It skips the test where no poppler is there to look at the pages.
func fullness(t *testing.T, pdf string) (shares []float64) {
	t.Helper()
	tool, err := exec.LookPath("pdftoppm")
	if err != nil {
		require.NotEqual(t, "1", os.Getenv("KNEEPOINT_NEED_VALIDATOR"), "pdftoppm is needed")
		t.Skip("no pdftoppm was found")
	}
	const resolution = 25.4 // so that a dot is 1 mm
	out, err := exec.CommandContext(t.Context(), tool, "-r", fmt.Sprint(resolution), "-gray", pdf).Output()
	require.NoError(t, err)
	for len(out) > 0 {
		var width, height int
		_, err := fmt.Sscanf(string(out[:min(len(out), 20)]), "P5\n%d %d\n255\n", &width, &height)
		require.NoError(t, err)
		head := len(fmt.Sprintf("P5\n%d %d\n255\n", width, height))
		dots := out[head : head+width*height]
		out = out[head+width*height:]
		last := topMargin
		for y := topMargin; y < height-bottomMargin; y++ {
			if slices.Min(dots[y*width:(y+1)*width]) < 200 {
				last = y
			}
		}
		shares = append(shares, float64(last-topMargin)/float64(height-topMargin-bottomMargin))
	}
	return shares
}

// A first page is one sheet of either paper, and is legible on a phone.
func TestFirstPageIsOneSheet(t *testing.T) {
	b := browsertest.Open(t)
	dir := t.TempDir()
	for _, scenario := range firstPages {
		require.NoError(t, os.WriteFile(filepath.Join(dir, scenario+".html"), frontOf(t, scenario), 0o666))
	}
	for _, scenario := range firstPages {
		b.Visit("file://" + filepath.Join(dir, scenario+".html"))
		for name := range papers {
			width, height := printArea(name)
			viewAs(b, int64(width), "print", "light")
			ends := browsertest.Eval[float64](b, `document.querySelector(".front").getBoundingClientRect().bottom`)
			assert.Less(t, ends, height, "%s on %s", scenario, name)
			assert.Greater(t, ends, height/2, "%s on %s is measured", scenario, name)
		}
		viewAs(b, 360, "screen", "light")
		assert.LessOrEqual(t, browsertest.Eval[int64](b, `document.scrollingElement.scrollWidth`), int64(360), scenario)
	}
}
