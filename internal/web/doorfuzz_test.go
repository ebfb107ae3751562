package web

import (
	"context"
	"encoding/json"
	"net/http"
	"os"
	"slices"
	"testing"
	"time"

	"kneepoint/scenarios"
)

// Whatever a door of the page is asked, about any car and with any answer or log, it answers in
// JSON: what was asked for, or why not. Nobody waits for what takes long: it is called off, and
// has to end then.
func FuzzDoors(f *testing.F) {
	car := func(name string) string {
		text, err := scenarios.Read(name)
		if err != nil {
			f.Fatal(err)
		}
		return string(text)
	}
	log, err := os.ReadFile("../../scenarios/gauge-log.csv")
	if err != nil {
		f.Fatal(err)
	}
	f.Add("fit", car("gauge-log"), "log.csv", string(log[:1500]))
	f.Add("fit", "", "log.csv", "time_s,vacuum_pa,pedal_n,line_pa\n0,60e3,0,0\n1,60e3,0,0\n2,59e3,100,1e6\n3,58e3,100,2e6\n4,58e3,0,0\n5,57e3,0,0\n6,56e3,0,0\n7,55e3,0,0\n")
	f.Add("fit", "", "a;b", "time;MAP [kPa]\n0:01;1,5\n0:02;2\n")
	f.Add("ask", "", "vacuum", "18 inHg")
	f.Add("ask", car("big-cam-nine"), "cam", "don't know")
	f.Add("interview", "", "us", "yes")
	f.Add("interview", car("hard-pedal"), "si", "17-18 inHg")
	f.Add("create", car("stock-ten-inch"), "../x", "")
	f.Add("create", "", "", "mountain")
	c := newClient(f, nil)
	// 500 is a car that the model cannot compute: the sum of its studies is tried elsewhere.
	allowed := []int{http.StatusOK, http.StatusCreated, http.StatusBadRequest, http.StatusRequestEntityTooLarge, http.StatusUnprocessableEntity, http.StatusServiceUnavailable}
	f.Fuzz(func(t *testing.T, door, text, first, second string) {
		body, ok := map[string]any{
			"fit":       fitRequest{Text: text, LogName: first, Log: second},
			"ask":       askRequest{Text: text, Answers: []answerLine{{first, second}}, Page: len(first)%2 == 1},
			"interview": interviewRequest{Text: text, Units: first, Answer: &second, Finish: len(second)%2 == 1},
			"create":    openRequest{Text: text, Name: first, Starter: second},
		}[door]
		if !ok {
			t.Skip()
		}
		path := "/api/" + door
		if door == "create" {
			path = "/api/drives"
		}
		written, err := json.Marshal(body)
		if err != nil {
			t.Fatal(err)
		}
		ctx, cancel := context.WithCancel(context.Background())
		defer cancel()
		time.AfterFunc(300*time.Millisecond, cancel)
		begin := time.Now()
		w := c.do(newRequest(http.MethodPost, path, string(written)).WithContext(ctx))
		const late = 20 * time.Second
		if took := time.Since(begin); took > late {
			t.Errorf("called off after 0.3 s, it ended after %v", took)
		}
		if !slices.Contains(allowed, w.Code) {
			t.Errorf("%s: status %d: %s", door, w.Code, w.Body)
		}
		if !json.Valid(w.Body.Bytes()) {
			t.Errorf("%s: no JSON: %s", door, w.Body)
		}
		c.drives.mu.Lock()
		clear(c.drives.open)
		c.drives.mu.Unlock()
	})
}
