package web

import (
	"net/http"
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
