package web

import (
	"bytes"
	"context"
	"io"
	"runtime"
	"slices"
	"strings"

	"kneepoint/internal/pattern"
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
	// verbs runs a verb of the command line; nil where there is none.
	verbs Verbs
	// interviews are the searches for a fault that are under way.
	interviews interviews
}

// Verbs runs a verb of the command line on a document, as "kneepoint VERB - --format json"
// does. It returns the exit status with what went to both outputs.
type Verbs func(ctx context.Context, verb, document string) (status int, out, trouble string)

func newAPI(start *scenario.Scenario, d *drives, verbs Verbs) *api {
	return &api{start: start, drives: d, verbs: verbs, studies: make(chan struct{}, runtime.GOMAXPROCS(0))}
}

// answer does what a request asks for: a method, a path such as "api/drives", and a body.
func (a *api) answer(ctx context.Context, method, path string, body io.Reader) *responder {
	w, r := &responder{}, &asked{ctx: ctx, body: body}
	path = strings.Trim(path, "/")
	drive, what, ok := strings.Cut(strings.TrimPrefix(path, "api/drives/"), "/")
	switch {
	case method == "GET" && path == "api/setup":
		a.setup(w, r)
	case method == "POST" && path == "api/verb":
		a.verb(w, r)
	case method == "POST" && path == "api/ask":
		a.ask(w, r)
	case method == "POST" && path == "api/interview":
		a.interview(w, r)
	case method == "POST" && path == "api/fit":
		a.fit(w, r)
	case method == "POST" && path == "api/drives":
		a.create(w, r)
	case ok && strings.HasPrefix(path, "api/drives/"):
		r.id = drive
		a.ofDrive(w, r, method+" "+what)
	case slices.Contains([]string{"api/setup", "api/verb", "api/ask", "api/interview", "api/fit", "api/drives"}, path):
		refuse(w, statusMethodNotAllowed, "this is asked by another method")
	default:
		refuse(w, statusNotFound, "there is nothing here")
	}
	return w
}

// ofDrive does what is asked about one car.
func (a *api) ofDrive(w *responder, r *asked, what string) {
	do, ok := map[string]func(*responder, *asked, *drive){
		"POST close": a.close, "POST step": a.step, "POST reset": a.reset, "POST change": a.change, "POST open": a.open,
		"GET curve": a.curve, "GET knees": a.knees, "GET reserve": a.reserve, "GET file": a.file,
	}[what]
	if !ok {
		refuse(w, statusNotFound, "there is nothing here")
		return
	}
	d, ok := a.drives.get(r.id)
	if !ok {
		refuse(w, statusNotFound, "this car is gone: nobody has driven it for a while")
		return
	}
	do(w, r, d)
}

// setup is what the page needs once.
func (a *api) setup(w *responder, _ *asked) {
	s := newSetup()
	s.Given = a.start.Given()
	reply(w, statusOK, s)
}

// created is a new drive.
type created struct {
	ID  string   `json:"id"`
	Car carReply `json:"car"`
}

func (a *api) create(w *responder, r *asked) {
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
	if d.cars, err = newCars(r.ctx, s); err != nil {
		fail(w, err)
		return
	}
	car := newCarReply(&d.cars)
	id, err := a.drives.add(d)
	if err != nil {
		fail(w, err)
		return
	}
	reply(w, statusCreated, created{id, car})
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
		return scenario.Read(strings.NewReader(in.Text), named(in.Name))
	}
	return a.start, nil
}

func (a *api) close(w *responder, r *asked, _ *drive) {
	a.drives.remove(r.id)
	reply(w, statusOK, struct{}{})
}

func (a *api) step(w *responder, r *asked, d *drive) {
	in, ok := read[stepRequest](w, r, mostSmallBody)
	if !ok {
		return
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.step(r.ctx, in); err != nil {
		fail(w, err)
		return
	}
	reply(w, statusOK, d.frame())
}

func (a *api) reset(w *responder, r *asked, d *drive) {
	if _, ok := read[emptyRequest](w, r, mostSmallBody); !ok {
		return
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	d.reset()
	reply(w, statusOK, d.frame())
}

func (a *api) change(w *responder, r *asked, d *drive) {
	in, ok := read[changeRequest](w, r, mostSmallBody)
	if !ok {
		return
	}
	a.replace(w, r, d, func(s *scenario.Scenario) (*scenario.Scenario, error) { return turn(s, in) })
}

func (a *api) open(w *responder, r *asked, d *drive) {
	in, ok := read[openRequest](w, r, mostDocumentBody)
	if !ok {
		return
	}
	a.replace(w, r, d, func(*scenario.Scenario) (*scenario.Scenario, error) { return a.find(in) })
}

// replace puts another car in the place of a drive's. When that fails the old one stays.
func (a *api) replace(w *responder, r *asked, d *drive, by func(*scenario.Scenario) (*scenario.Scenario, error)) {
	d.mu.Lock()
	defer d.mu.Unlock()
	s, err := by(d.scenario)
	if err != nil {
		fail(w, err)
		return
	}
	next, err := newCars(r.ctx, s)
	if err != nil {
		fail(w, err)
		return
	}
	d.cars = next
	reply(w, statusOK, newCarReply(&d.cars))
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

func (a *api) curve(w *responder, r *asked, d *drive) {
	s := d.present()
	var result *study.CurveResult
	err := a.study(r.ctx, func() (err error) {
		result, err = study.Curve(r.ctx, s, study.CurveOptions{})
		return err
	})
	if err != nil {
		fail(w, err)
		return
	}
	reply(w, statusOK, newCurveReply(result))
}

func (a *api) reserve(w *responder, r *asked, d *drive) {
	s := d.present()
	asked := engineOff(s)
	var result *study.ReserveResult
	err := a.study(r.ctx, func() (err error) {
		result, err = study.Reserve(r.ctx, asked, nil)
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
	reply(w, statusOK, newReserveReply(result, asked))
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
var unfit = pattern.Lazy(`[^A-Za-z0-9._-]+`)

func (a *api) file(w *responder, _ *asked, d *drive) {
	s := d.present()
	*w = responder{status: statusOK, kind: "application/toml; charset=utf-8", file: fileName(s.Name()), body: []byte(s.String())}
}

// fileName is the last part of a scenario's name, as a file of our kind.
func fileName(name string) string {
	name = strings.TrimSuffix(name[strings.LastIndexAny(name, `/\`)+1:], ".toml")
	name = strings.Trim(unfit().ReplaceAllString(name, "-"), "-.")
	if name == "" {
		name = "scenario"
	}
	return name + ".toml"
}
