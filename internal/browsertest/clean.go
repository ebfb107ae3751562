package browsertest

import (
	"net/url"
	"slices"

	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/stretchr/testify/require"
)

func (b *Tab) listen(event any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		b.requests = append(b.requests, e.Request.URL)
	case *log.EventEntryAdded:
		b.troubles = append(b.troubles, e.Entry.Text)
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

// TakeTroubles returns what the browser logged, a breach of the content policy among
// it, with the script's errors and warnings, and forgets it.
func (b *Tab) TakeTroubles() []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	taken := b.troubles
	b.troubles = nil
	return taken
}

// Requests are all addresses that were asked for something.
func (b *Tab) Requests() []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return slices.Clone(b.requests)
}

// Clean wants that nothing went wrong and nothing was asked of another host.
func (b *Tab) Clean() {
	b.t.Helper()
	require.Empty(b.t, b.TakeTroubles(), "in the console")
	outside := slices.DeleteFunc(b.Requests(), func(address string) bool {
		to, err := url.Parse(address)
		return err == nil && (to.Scheme == "data" || to.Scheme == "blob" || to.Host == b.home.Host)
	})
	require.Empty(b.t, outside, "requests to elsewhere")
}
