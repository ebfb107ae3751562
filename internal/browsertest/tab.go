// Package browsertest drives Chromium in tests, and says what went wrong in it.
package browsertest

import (
	"context"
	"net/url"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// A Tab is the one tab of a browser. What fails in it ends the test that opened it.
type Tab struct {
	t    testing.TB
	ctx  context.Context
	home *url.URL // visited last

	mu       sync.Mutex
	troubles []string
	requests []string
}

// Open starts a browser with an empty profile. It skips the test where there is none,
// and in a short run.
func Open(t testing.TB) *Tab {
	t.Helper()
	if testing.Short() {
		t.Skip("a browser takes long")
	}
	ctx := started(t, find(t))
	late, cancel := context.WithTimeout(ctx, 3*time.Minute)
	t.Cleanup(cancel)
	b := &Tab{t: t, ctx: late}
	require.NoError(t, chromedp.Listen(ctx, b.listen))
	Command(b, network.Enable, network.EnableParams{})
	Command(b, log.Enable, cdp.Empty{})
	return b
}

// startTries is how often a browser is started that crashes before it shows anything.
const startTries = 3

// started is a browser that runs. It lives as long as the context of its first call, the
// steps of a test only until that is late.
func started(t testing.TB, path string) context.Context {
	t.Helper()
	for try := 1; ; try++ {
		allocated, endAll := chromedp.NewExecAllocator(context.Background(),
			chromedp.ExecPath(path), chromedp.Headless, chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun,
			chromedp.UserDataDir(t.TempDir()),
			chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true),
			chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
			chromedp.Flag("force-color-profile", "srgb"),
		)
		ctx, end := chromedp.NewContext(allocated)
		err := chromedp.Do(ctx)
		if err == nil {
			t.Cleanup(endAll)
			t.Cleanup(end)
			return ctx
		}
		end()
		endAll()
		if try == startTries {
			require.NoError(t, err)
		}
		t.Logf("started again, since: %.300s", err)
	}
}

// Resize sets the size of the window's inside, in CSS pixels.
func (b *Tab) Resize(width, height int64) {
	b.t.Helper()
	Command(b, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{Width: width, Height: height, DeviceScaleFactor: 1})
}

// Visit shows what is at an address.
func (b *Tab) Visit(address string) {
	b.t.Helper()
	home, err := url.Parse(address)
	require.NoError(b.t, err)
	b.home = home
	b.Do(chromedp.Navigate(address))
}

// Do takes steps that have no result.
func (b *Tab) Do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	require.NoError(b.t, chromedp.Do(b.ctx, steps...))
}

// Command gives the browser one of its protocol's commands.
func Command[P, R any](b *Tab, command cdp.Command[P, R], with P) (result R) {
	b.t.Helper()
	b.Do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) (err error) {
		result, err = cdp.Call(ctx, t, command, with)
		return err
	}))
	return result
}

// Eval returns the value of an expression, of a promise when it comes.
func Eval[T any](b *Tab, expression string) T {
	b.t.Helper()
	out, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	require.NoError(b.t, err, expression)
	return out
}

// Run takes statements for what they do.
func (b *Tab) Run(script string) {
	b.t.Helper()
	Eval[bool](b, "(() => {"+script+"; return true})()")
}

// Wait lets time pass until an expression is true.
func (b *Tab) Wait(expression string) {
	b.t.Helper()
	_, err := chromedp.Run(b.ctx, chromedp.Poll[chromedp.Void](expression, chromedp.WithPollingTimeout(90*time.Second)))
	b.mu.Lock()
	defer b.mu.Unlock()
	require.NoError(b.t, err, "it never came true: %s\nconsole: %q", expression, b.troubles)
}

// Picture is what the window shows, as a PNG.
func (b *Tab) Picture() []byte {
	b.t.Helper()
	out, err := chromedp.Run(b.ctx, chromedp.CaptureScreenshot())
	require.NoError(b.t, err)
	return out
}
