package web

import (
	"context"
	"net/url"
	"os"
	"os/exec"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// needBrowser makes the tests in a browser fail instead of being skipped where
// there is none.
const needBrowser = "KNEEPOINT_NEED_BROWSER"

// A browser is one tab with what went wrong in it.
type browser struct {
	t   testing.TB
	ctx context.Context

	mu       sync.Mutex
	troubles []string // errors in the console
	outside  []string // requests to anywhere but the server
}

func findChromium(t testing.TB) string {
	t.Helper()
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	if os.Getenv(needBrowser) == "1" {
		t.Fatal("no chromium was found, and " + needBrowser + " is 1")
	}
	t.Skip("no chromium was found")
	return ""
}

// openPage starts a browser of its own, with an empty profile, on the address.
func openPage(t testing.TB, address string, width, height int64, more ...chromedp.ExecAllocatorOption) *browser {
	t.Helper()
	if testing.Short() {
		t.Skip("a browser takes long")
	}
	path := findChromium(t)
	options := append([]chromedp.ExecAllocatorOption{
		chromedp.ExecPath(path), chromedp.Headless, chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun,
		chromedp.UserDataDir(t.TempDir()),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
		chromedp.Flag("hide-scrollbars", true),
	}, more...)
	allocated, endAll := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(endAll)
	ctx, end := chromedp.NewContext(allocated)
	t.Cleanup(end)
	// The browser lives as long as the context of the first call, the steps of a
	// test only until it is late.
	require.NoError(t, chromedp.Do(ctx))
	late, cancel := context.WithTimeout(ctx, 3*time.Minute)
	t.Cleanup(cancel)
	b := &browser{t: t, ctx: late}
	home, err := url.Parse(address)
	require.NoError(t, err)
	require.NoError(t, chromedp.Listen(ctx, func(event any) { b.listen(event, home.Host) }))
	b.do(call(network.Enable, network.EnableParams{}), call(log.Enable, cdp.Empty{}))
	b.resize(width, height)
	b.do(chromedp.Navigate(address))
	b.wait(`document.body.dataset.time !== undefined`)
	return b
}

// call makes a step of one command of the browser's protocol.
func call[P, R any](command cdp.Command[P, R], with P) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, command, with)
		return err
	})
}

func (b *browser) resize(width, height int64) {
	b.t.Helper()
	b.do(call(emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{Width: width, Height: height, DeviceScaleFactor: 1}))
}

func (b *browser) listen(event any, home string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		to, err := url.Parse(e.Request.URL)
		if err != nil || to.Scheme != "data" && to.Scheme != "blob" && to.Host != home {
			b.outside = append(b.outside, e.Request.URL)
		}
	case *log.EventEntryAdded:
		if e.Entry.Level == log.EntryLevelError || e.Entry.Level == log.EntryLevelWarning {
			b.troubles = append(b.troubles, e.Entry.Text)
		}
	case *runtime.EventExceptionThrown:
		b.troubles = append(b.troubles, e.ExceptionDetails.Text)
		if e.ExceptionDetails.Exception != nil {
			b.troubles = append(b.troubles, e.ExceptionDetails.Exception.Description)
		}
	case *runtime.EventConsoleAPICalled:
		if e.Type == runtime.ConsoleAPICalledTypeError || e.Type == runtime.ConsoleAPICalledTypeWarning {
			for _, a := range e.Args {
				b.troubles = append(b.troubles, string(a.Value)+a.Description)
			}
		}
	}
}

func (b *browser) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	require.NoError(b.t, chromedp.Do(b.ctx, steps...))
}

// eval returns the value of an expression, of a promise when it comes.
func eval[T any](b *browser, expression string) T {
	b.t.Helper()
	out, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	require.NoError(b.t, err, expression)
	return out
}

// run evaluates an expression for what it does.
func (b *browser) run(script string) {
	b.t.Helper()
	eval[bool](b, "(() => {"+script+"; return true})()")
}

// wait lets time pass until an expression is true.
func (b *browser) wait(expression string) {
	b.t.Helper()
	_, err := chromedp.Run(b.ctx, chromedp.Poll[chromedp.Void](expression, chromedp.WithPollingTimeout(30*time.Second)))
	b.mu.Lock()
	defer b.mu.Unlock()
	require.NoError(b.t, err, "it never came true: %s\nconsole: %q", expression, b.troubles)
}

// clean wants that nothing went wrong and nothing left the machine.
func (b *browser) clean() {
	b.t.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	require.Empty(b.t, b.troubles, "errors and warnings in the console")
	require.Empty(b.t, b.outside, "requests to elsewhere")
}
