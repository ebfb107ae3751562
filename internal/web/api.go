package web

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/http"
	"regexp"
	"runtime"
	"strings"

	"kneepoint/scenarios"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/study"
)

// An api answers what the page asks.
type api struct {
	start  *scenario.Scenario
	drives *drives
	// studies bounds how many studies run at once.
	studies chan struct{}
}

func newAPI(start *scenario.Scenario, d *drives) http.Handler {
	a := &api{start: start, drives: d, studies: make(chan struct{}, runtime.GOMAXPROCS(0))}
	mux := http.NewServeMux()
	mux.Handle("GET /", page())
	mux.HandleFunc("GET /api/setup", a.setup)
	mux.HandleFunc("POST /api/drives", a.create)
	mux.HandleFunc("POST /api/drives/{id}/close", a.driven(a.close))
	mux.HandleFunc("POST /api/drives/{id}/step", a.driven(a.step))
	mux.HandleFunc("POST /api/drives/{id}/reset", a.driven(a.reset))
	mux.HandleFunc("POST /api/drives/{id}/change", a.driven(a.change))
	mux.HandleFunc("POST /api/drives/{id}/open", a.driven(a.open))
	mux.HandleFunc("GET /api/drives/{id}/curve", a.driven(a.curve))
	mux.HandleFunc("GET /api/drives/{id}/reserve", a.driven(a.reserve))
	mux.HandleFunc("GET /api/drives/{id}/file", a.driven(a.file))
	return mux
}

// driven finds the drive that a request is about.
func (a *api) driven(do func(http.ResponseWriter, *http.Request, *drive)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		d, ok := a.drives.get(r.PathValue("id"))
		if !ok {
			refuse(w, http.StatusNotFound, "this car is gone: nobody has driven it for a while")
			return
		}
		do(w, r, d)
	}
}

// setup is what the page needs once.
func (a *api) setup(w http.ResponseWriter, _ *http.Request) { reply(w, http.StatusOK, newSetup()) }

// created is a new drive.
type created struct {
	ID  string   `json:"id"`
	Car carReply `json:"car"`
}

func (a *api) create(w http.ResponseWriter, r *http.Request) {
	in, ok := read[openRequest](w, r, mostDocumentBody)
	if !ok {
		return
	}
	if a.drives.full() {
		fail(w, errFull)
		return
	}
	s, err := a.find(in)
	if err != nil {
		fail(w, err)
		return
	}
	d := &drive{}
	if d.cars, err = newCars(r.Context(), s); err != nil {
		fail(w, err)
		return
	}
	car := newCarReply(&d.cars)
	id, err := a.drives.add(d)
	if err != nil {
		fail(w, err)
		return
	}
	reply(w, http.StatusCreated, created{id, car})
}

// find reads the document that is meant.
func (a *api) find(in openRequest) (*scenario.Scenario, error) {
	switch {
	case in.Starter != "":
		text, err := scenarios.Read(in.Starter)
		if err != nil {
			return nil, &changeError{"starter", in.Starter, "one of those that setup lists"}
		}
		return scenario.Read(bytes.NewReader(text), in.Starter+".toml")
	case in.Text != "" || in.Name != "":
		name := in.Name
		if name == "" {
			name = "scenario.toml"
		}
		return scenario.Read(strings.NewReader(in.Text), name)
	}
	return a.start, nil
}

func (a *api) close(w http.ResponseWriter, r *http.Request, _ *drive) {
	a.drives.remove(r.PathValue("id"))
	reply(w, http.StatusOK, struct{}{})
}

func (a *api) step(w http.ResponseWriter, r *http.Request, d *drive) {
	in, ok := read[stepRequest](w, r, mostSmallBody)
	if !ok {
		return
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.step(r.Context(), in); err != nil {
		fail(w, err)
		return
	}
	reply(w, http.StatusOK, d.frame())
}

func (a *api) reset(w http.ResponseWriter, r *http.Request, d *drive) {
	if _, ok := read[emptyRequest](w, r, mostSmallBody); !ok {
		return
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	d.reset()
	reply(w, http.StatusOK, d.frame())
}

func (a *api) change(w http.ResponseWriter, r *http.Request, d *drive) {
	in, ok := read[changeRequest](w, r, mostSmallBody)
	if !ok {
		return
	}
	a.replace(w, r, d, func(s *scenario.Scenario) (*scenario.Scenario, error) { return turn(s, in) })
}

func (a *api) open(w http.ResponseWriter, r *http.Request, d *drive) {
	in, ok := read[openRequest](w, r, mostDocumentBody)
	if !ok {
		return
	}
	a.replace(w, r, d, func(*scenario.Scenario) (*scenario.Scenario, error) { return a.find(in) })
}

// replace puts another car in the place of a drive's. When that fails the old one stays.
func (a *api) replace(w http.ResponseWriter, r *http.Request, d *drive, by func(*scenario.Scenario) (*scenario.Scenario, error)) {
	d.mu.Lock()
	defer d.mu.Unlock()
	s, err := by(d.scenario)
	if err != nil {
		fail(w, err)
		return
	}
	next, err := newCars(r.Context(), s)
	if err != nil {
		fail(w, err)
		return
	}
	d.cars = next
	reply(w, http.StatusOK, newCarReply(&d.cars))
}

// study waits for its turn and runs one; the drive is not locked meanwhile.
func (a *api) study(ctx context.Context, do func() error) error {
	select {
	case a.studies <- struct{}{}:
	case <-ctx.Done():
		return ctx.Err()
	}
	defer func() { <-a.studies }()
	return do()
}

func (d *drive) present() *scenario.Scenario {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.scenario
}

func (a *api) curve(w http.ResponseWriter, r *http.Request, d *drive) {
	s := d.present()
	var result *study.CurveResult
	err := a.study(r.Context(), func() (err error) {
		result, err = study.Curve(r.Context(), s, study.CurveOptions{})
		return err
	})
	if err != nil {
		fail(w, err)
		return
	}
	reply(w, http.StatusOK, newCurveReply(result))
}

func (a *api) reserve(w http.ResponseWriter, r *http.Request, d *drive) {
	s := d.present()
	asked := engineOff(s)
	var result *study.ReserveResult
	err := a.study(r.Context(), func() (err error) {
		result, err = study.Reserve(r.Context(), asked, nil)
		return err
	})
	if err != nil {
		fail(w, err)
		return
	}
	d.mu.Lock()
	if d.scenario == s {
		d.cars.reserve = result
	}
	d.mu.Unlock()
	reply(w, http.StatusOK, newReserveReply(result, asked))
}

// engineOff asks for the stops that are left once the engine is off, for the
// nominal car: the page draws one series and no chances.
func engineOff(s *scenario.Scenario) *scenario.Scenario {
	asked := *s
	asked.Reserve.Engine = sim.EngineOff
	asked.Spreads = nil
	return &asked
}

// unfit are characters that a file's name is better without.
var unfit = regexp.MustCompile(`[^A-Za-z0-9._-]+`)

func (a *api) file(w http.ResponseWriter, _ *http.Request, d *drive) {
	s := d.present()
	w.Header().Set("Content-Type", "application/toml; charset=utf-8")
	w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="%s"`, fileName(s.Name())))
	_, err := w.Write([]byte(s.String()))
	if err != nil && !errors.Is(err, http.ErrHandlerTimeout) {
		return // the page is gone
	}
}

// fileName is the last part of a scenario's name, as a file of our kind.
func fileName(name string) string {
	name = strings.TrimSuffix(name[strings.LastIndexAny(name, `/\`)+1:], ".toml")
	name = strings.Trim(unfit.ReplaceAllString(name, "-"), "-.")
	if name == "" {
		name = "scenario"
	}
	return name + ".toml"
}
