package browsertest

import (
	"bufio"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/websocket"
)

// A Firefox is the one tab of that browser, driven by WebDriver BiDi (W3C working draft):
// the few of its commands that a test of the page with the program inside needs.
type Firefox struct {
	t        testing.TB
	conn     *websocket.Conn
	tab      string
	next     int
	Requests []string
	Troubles []string
}

// neededFirefox has the tests in Firefox run, which take three minutes.
const neededFirefox = "KNEEPOINT_NEED_FIREFOX"

// foxPatience is how long Firefox may take for one command.
const foxPatience = 5 * time.Minute

var foxAddress = regexp.MustCompile(`WebDriver BiDi listening on (ws://\S+)`)

// OpenFirefox starts Firefox with an empty profile. It skips the test unless it is asked
// for.
func OpenFirefox(t testing.TB) *Firefox {
	t.Helper()
	if os.Getenv(neededFirefox) != "1" {
		t.Skip("three minutes in Firefox: make firefox has it done")
	}
	var path string
	for _, name := range []string{"firefox-esr", "firefox"} {
		if found, err := exec.LookPath(name); err == nil {
			path = found
			break
		}
	}
	if path == "" {
		t.Fatal("no firefox was found, and " + neededFirefox + " is 1")
	}
	const origin = "http://127.0.0.1"
	browser := exec.CommandContext(t.Context(), path, "--headless", "--no-remote", "--profile", t.TempDir(),
		"--remote-debugging-port", "0", "--remote-allow-origins", origin)
	browser.Env = append(os.Environ(), "HOME="+t.TempDir(), "MOZ_CRASHREPORTER_DISABLE=1")
	browser.WaitDelay = 10 * time.Second
	said, err := browser.StderrPipe()
	require.NoError(t, err)
	require.NoError(t, browser.Start())
	t.Cleanup(func() {
		_ = browser.Process.Kill()
		_ = browser.Wait()
	})
	mute := time.AfterFunc(foxPatience, func() { _ = browser.Process.Kill() })
	lines := bufio.NewScanner(said)
	address := ""
	for address == "" && lines.Scan() {
		if m := foxAddress.FindStringSubmatch(lines.Text()); m != nil {
			address = m[1]
		}
	}
	mute.Stop()
	require.NotEmpty(t, address, "firefox does not listen")
	go func() { // or the pipe fills
		for lines.Scan() {
		}
	}()
	conn, err := websocket.Dial(strings.TrimSuffix(address, "/")+"/session", "", origin)
	require.NoError(t, err)
	t.Cleanup(func() { _ = conn.Close() })
	conn.MaxPayloadBytes = 256 << 20
	f := &Firefox{t: t, conn: conn}
	f.call("session.new", `{"capabilities":{}}`)
	f.call("session.subscribe", `{"events":["log.entryAdded","network.beforeRequestSent"]}`)
	var tree struct {
		Contexts []struct{ Context string }
	}
	require.NoError(t, json.Unmarshal(f.call("browsingContext.getTree", `{}`), &tree))
	require.NotEmpty(t, tree.Contexts)
	f.tab = tree.Contexts[0].Context
	return f
}

// call gives a command and waits for its result; events come between.
func (f *Firefox) call(method, params string) json.RawMessage {
	f.t.Helper()
	f.next++
	require.NoError(f.t, f.conn.SetDeadline(time.Now().Add(foxPatience)))
	require.NoError(f.t, websocket.Message.Send(f.conn, fmt.Sprintf(`{"id":%d,"method":%q,"params":%s}`, f.next, method, params)))
	for {
		var text []byte
		require.NoError(f.t, websocket.Message.Receive(f.conn, &text), method)
		var m struct {
			ID      int
			Type    string
			Method  string
			Message string
			Result  json.RawMessage
			Params  struct {
				Level, Text string
				Request     struct{ URL string }
			}
		}
		require.NoError(f.t, json.Unmarshal(text, &m), "%.200s", text)
		switch {
		case m.Method == "log.entryAdded" && m.Params.Level != "info" && m.Params.Level != "debug":
			f.Troubles = append(f.Troubles, m.Params.Text)
		case m.Method == "network.beforeRequestSent":
			f.Requests = append(f.Requests, m.Params.Request.URL)
		case m.Type == "error" && m.ID == f.next:
			require.Fail(f.t, method, m.Message)
		case m.Type == "success" && m.ID == f.next:
			return m.Result
		}
	}
}

// Visit shows what is at an address.
func (f *Firefox) Visit(address string) {
	f.t.Helper()
	f.call("browsingContext.navigate", fmt.Sprintf(`{"context":%q,"url":%q,"wait":"complete"}`, f.tab, address))
}

// Eval returns the value of an expression that gives a text, or a promise of one.
func (f *Firefox) Eval(expression string) string {
	f.t.Helper()
	quoted, err := json.Marshal(expression)
	require.NoError(f.t, err)
	var out struct {
		Type             string
		Result           struct{ Type, Value string }
		ExceptionDetails struct{ Text string }
	}
	require.NoError(f.t, json.Unmarshal(f.call("script.evaluate", fmt.Sprintf(
		`{"expression":%s,"target":{"context":%q},"awaitPromise":true}`, quoted, f.tab)), &out))
	require.Equal(f.t, "success", out.Type, "%s: %.300s", out.ExceptionDetails.Text, expression)
	require.Equal(f.t, "string", out.Result.Type, "%.300s", expression)
	return out.Result.Value
}

// Clean wants that nothing went wrong, and that nothing was asked of a network.
func (f *Firefox) Clean() {
	f.t.Helper()
	require.Empty(f.t, f.Troubles, "in the console")
	require.Empty(f.t, slices.DeleteFunc(slices.Clone(f.Requests), func(address string) bool {
		scheme, _, _ := strings.Cut(address, ":")
		return slices.Contains([]string{"file", "data", "blob", "about"}, scheme)
	}), "requests to elsewhere")
}
