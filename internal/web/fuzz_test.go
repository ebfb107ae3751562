package web

import (
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"

	"kneepoint/sim/scenario"
)

// Whatever a page sends, it is refused or lies within the limits.
func FuzzRequests(f *testing.F) {
	for _, seed := range []string{
		`{"dt_s":0.0167,"pedal_n":120,"engine":"idle"}`, `{"dt_s":-1,"pedal_n":1e400,"engine":"off"}`,
		`{"control":"fault","value":"hose-leak","share":0.5}`, `{"control":"vacuum","value":"18 inHg"}`,
		`{"name":"a.toml","text":"[booster]\ndiameter = \"9 in\""}`, `{"starter":"mountain"}`, `{}`, `{} {}`, `[`, "\xff",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if in, err := decode[stepRequest](strings.NewReader(text)); err == nil {
			if !(in.Dt >= shortestStep && in.Dt <= longestStep && in.Pedal >= 0 && in.Pedal <= hardestPedal && slices.Contains(engines, in.Engine)) {
				t.Fatalf("%q was taken as %+v", text, in)
			}
		}
		if in, err := decode[changeRequest](strings.NewReader(text)); err == nil && in.Share != nil && !(*in.Share >= 0 && *in.Share <= 1) {
			t.Fatalf("%q was taken as share %g", text, *in.Share)
		}
		if in, err := decode[openRequest](strings.NewReader(text)); err == nil && in.Text != "" && in.Starter != "" {
			t.Fatalf("%q was taken as both", text)
		}
	})
}

// No path and no body brings the server down, and every refusal is ours.
func FuzzAPI(f *testing.F) {
	f.Add("step", `{"dt_s":0.0167,"pedal_n":120,"engine":"idle"}`)
	f.Add("step", `{"dt_s":0.25,"pedal_n":2000,"engine":"off"}`)
	f.Add("change", `{"control":"diameter","value":"9 in"}`)
	f.Add("change", `{"control":"kind","value":"tandem"}`)
	f.Add("change", `{"control":"fault","value":"air-in-circuit","share":1}`)
	f.Add("open", `{"text":"[booster]\nkind = \"none\""}`)
	f.Add("open", `{"starter":"mountain"}`)
	f.Add("reset", `{}`)
	s, err := scenario.Builtin()
	if err != nil {
		f.Fatal(err)
	}
	c := newClient(f, s)
	path, _ := c.create("{}")
	allowed := []int{200, 400, 404, 413, 422}
	f.Fuzz(func(t *testing.T, verb, body string) {
		if !slices.Contains([]string{"step", "change", "open", "reset"}, verb) {
			t.Skip()
		}
		w := c.do(newRequest(http.MethodPost, path+"/"+verb, body))
		if !slices.Contains(allowed, w.Code) {
			t.Fatalf("%s %q: status %d: %s", verb, body, w.Code, w.Body)
		}
	})
}

// Whatever a request claims of where it comes from, only the page's own gets through.
func FuzzGuard(f *testing.F) {
	f.Add("POST", home, "http://"+home, "same-origin", "application/json")
	f.Add("POST", home, "http://elsewhere.example", "", "application/json; charset=utf-8")
	f.Add("POST", "localhost:7001", "http://localhost:7001", "none", "text/plain")
	f.Add("GET", "127.0.0.1:7001.example", "", "cross-site", "")
	f.Add("PUT", "[::1]:7001", "null", "\x00", ";=")
	own := []string{home, "localhost:7001"}
	var reached bool
	h := guard(7001, http.HandlerFunc(func(http.ResponseWriter, *http.Request) { reached = true }))
	f.Fuzz(func(t *testing.T, method, host, origin, site, kind string) {
		r := newRequest(http.MethodPost, "/api/drives", "{}")
		r.Method, r.Host = method, host
		r.Header.Set("Origin", origin)
		r.Header.Set("Sec-Fetch-Site", site)
		r.Header.Set("Content-Type", kind)
		reached = false
		h.ServeHTTP(httptest.NewRecorder(), r)
		if reached && !(slices.Contains(own, host) && origin == "http://"+host && (method != http.MethodPost || strings.HasPrefix(strings.ToLower(strings.TrimSpace(kind)), "application/json"))) {
			t.Fatalf("%q %q %q %q %q got through", method, host, origin, site, kind)
		}
	})
}

// Whatever a scenario is called, it is saved under a plain name of our kind.
func FuzzFileName(f *testing.F) {
	for _, name := range []string{"a.toml", "../../etc/passwd", `C:\x\y`, "", ".", "..toml", "a\"; x=\"", "\xff\n"} {
		f.Add(name)
	}
	f.Fuzz(func(t *testing.T, name string) {
		got := fileName(name)
		if !strings.HasSuffix(got, ".toml") || strings.HasPrefix(got, ".") || unfit().MatchString(got) {
			t.Fatalf("%q is saved as %q", name, got)
		}
	})
}
