package cli

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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

// A viewer is a browser that shows one file.
type viewer struct {
	t   *testing.T
	ctx context.Context

	mu       sync.Mutex
	troubles []string // in the console, a breach of the content policy among them
	fetched  []string
}

// viewReport shows a report, or skips the test where there is no browser and none has
// to be.
func viewReport(t *testing.T) (v *viewer, file string) {
	t.Helper()
	if testing.Short() {
		t.Skip("a browser takes long")
	}
	path, err := exec.LookPath("chromium")
	if err != nil {
		require.NotEqual(t, "1", os.Getenv("KNEEPOINT_NEED_BROWSER"), "chromium is needed")
		t.Skip("no chromium was found")
	}
	file = reportFile(t)
	allocated, endAll := chromedp.NewExecAllocator(context.Background(), chromedp.ExecPath(path), chromedp.Headless, chromedp.NoSandbox,
		chromedp.DisableGPU, chromedp.NoFirstRun, chromedp.UserDataDir(t.TempDir()), chromedp.Flag("disable-background-networking", true))
	t.Cleanup(endAll)
	ctx, end := chromedp.NewContext(allocated)
	t.Cleanup(end)
	require.NoError(t, chromedp.Do(ctx))
	late, cancel := context.WithTimeout(ctx, 3*time.Minute)
	t.Cleanup(cancel)
	v = &viewer{t: t, ctx: late}
	require.NoError(t, chromedp.Listen(ctx, v.listen))
	command(v, network.Enable, network.EnableParams{})
	command(v, log.Enable, cdp.Empty{})
	require.NoError(t, chromedp.Do(v.ctx, chromedp.Navigate("file://"+file)))
	return v, file
}

func (v *viewer) listen(event any) {
	v.mu.Lock()
	defer v.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		v.fetched = append(v.fetched, e.Request.URL)
	case *log.EventEntryAdded:
		v.troubles = append(v.troubles, e.Entry.Text)
	}
}

// command gives the browser one of its protocol's commands.
func command[P, R any](v *viewer, command cdp.Command[P, R], with P) (result R) {
	v.t.Helper()
	require.NoError(v.t, chromedp.Do(v.ctx, chromedp.Func(func(ctx context.Context, t *chromedp.Target) (err error) {
		result, err = cdp.Call(ctx, t, command, with)
		return err
	})))
	return result
}

func ask[T any](v *viewer, expression string) T {
	v.t.Helper()
	out, err := chromedp.Run(v.ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	require.NoError(v.t, err, expression)
	return out
}

func (v *viewer) as(width int64, media, scheme string) {
	v.t.Helper()
	command(v, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{Width: width, Height: 900, DeviceScaleFactor: 1})
	command(v, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Media: media, Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
	})
}

// On a screen it is legible and within the screen, light and dark, by the rules of
// axe-core; and it asks for no other file.
func TestReportInABrowser(t *testing.T) {
	v, file := viewReport(t)
	axe := ""
	if path := os.Getenv("KNEEPOINT_AXE"); path != "" {
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		axe = string(text)
	} else {
		t.Log("KNEEPOINT_AXE names no axe.min.js: its rules are left out")
	}
	for _, width := range []int64{1280, 390} {
		for _, scheme := range []string{"light", "dark"} {
			t.Run(fmt.Sprintf("%d %s", width, scheme), func(t *testing.T) {
				v.as(width, "screen", scheme)
				assert.LessOrEqual(t, ask[int64](v, `document.scrollingElement.scrollWidth`), width, "nothing sticks out")
				assert.NotEqual(t, "rgba(0, 0, 0, 0)", ask[string](v, `getComputedStyle(document.documentElement).backgroundColor`), "the policy lets the look in")
				shown := ask[int](v, `[...document.querySelectorAll("figure svg")].filter((s) => s.checkVisibility()).length`)
				assert.Equal(t, shown, ask[int](v, `document.querySelectorAll("figure").length`), "each picture once")
				if axe == "" {
					return
				}
				ask[bool](v, axe+"\n;true")
				assert.Empty(t, ask[[]string](v, `axe.run().then((r) => r.violations.map((v) => v.id + ": " + v.nodes.map((n) => n.target + " " + n.failureSummary).join(" | ")))`))
				assert.Greater(t, ask[int](v, `axe.run().then((r) => r.passes.length)`), 15, "rules were looked at")
			})
		}
	}
	v.mu.Lock()
	defer v.mu.Unlock()
	assert.Equal(t, []string{"file://" + file}, v.fetched)
	assert.Empty(t, v.troubles)
}

// On paper nothing is wider or, where it must not be cut, higher than a page, and ink
// is black, whatever the screen likes.
func TestReportOnPaper(t *testing.T) {
	v, _ := viewReport(t)
	const inch = 96 // CSS pixels
	for name, paper := range map[string]struct{ width, height float64 }{"A4": {8.27, 11.69}, "Letter": {8.5, 11}} {
		t.Run(name, func(t *testing.T) {
			// The margins of page.css: 14 mm at the sides, 15 and 17 mm above and below.
			width, height := (paper.width-28/25.4)*inch, (paper.height-32/25.4)*inch
			v.as(int64(width), "print", "dark")
			assert.Equal(t, "rgb(0, 0, 0)", ask[string](v, `getComputedStyle(document.body).color`))
			assert.Equal(t, "rgb(255, 255, 255)", ask[string](v, `getComputedStyle(document.documentElement).backgroundColor`))
			wide := ask[[]string](v, fmt.Sprintf(`[...document.querySelectorAll("body *")].filter((e) => e.getBoundingClientRect().right > %f).map((e) => e.tagName + " " + e.id + " " + e.textContent.slice(0, 40))`, width+0.5))
			assert.Empty(t, wide, "cut at the side")
			high := ask[[]string](v, fmt.Sprintf(`[...document.querySelectorAll("figure, tr, table.whole, dl")].filter((e) => e.getBoundingClientRect().height > %f).map((e) => e.tagName + " " + e.id)`, height))
			assert.Empty(t, high, "higher than a page")
			assert.Greater(t, ask[int](v, `document.querySelectorAll("table.whole").length`), 3)

			css := true
			pdf := command(v, page.PrintToPDF, page.PrintToPDFParams{PaperWidth: paper.width, PaperHeight: paper.height, PreferCSSPageSize: &css})
			require.True(t, strings.HasPrefix(string(pdf.Data), "%PDF-"))
			if dir := os.Getenv("KNEEPOINT_KEEP_PDF"); dir != "" {
				require.NoError(t, os.WriteFile(filepath.Join(dir, "report-"+name+".pdf"), pdf.Data, 0o666))
			}
		})
	}
}
