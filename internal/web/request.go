package web

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

// Limits of what a page may send. A document may be 1 MiB, and a quotation mark
// of it takes two bytes.
const (
	mostSmallBody    = 4 << 10
	mostDocumentBody = 2<<20 + 4<<10
	longestStep      = si.Time(0.25)
	shortestStep     = si.Time(1e-3)
	hardestPedal     = si.Force(2000)
)

var engines = []sim.EngineState{sim.EngineIdle, sim.EngineOverrun, sim.EngineOff}

// A stepRequest moves the foot to a force over a time that passes.
type stepRequest struct {
	Dt     si.Time         `json:"dt_s"`
	Pedal  si.Force        `json:"pedal_n"`
	Engine sim.EngineState `json:"engine"`
}

func (r stepRequest) check() error {
	switch {
	case !(r.Dt >= shortestStep && r.Dt <= longestStep):
		return fmt.Errorf("dt_s: read %g, want %g to %g", float64(r.Dt), float64(shortestStep), float64(longestStep))
	case !(r.Pedal >= 0 && r.Pedal <= hardestPedal):
		return fmt.Errorf("pedal_n: read %g, want 0 to %g", float64(r.Pedal), float64(hardestPedal))
	case !slices.Contains(engines, r.Engine):
		return fmt.Errorf("engine: read %q, want one of %q", r.Engine, engines)
	}
	return nil
}

// A changeRequest turns one control. Value is a quantity as it is typed, or a
// choice; Share, for a fault, is how bad it is.
type changeRequest struct {
	Control string   `json:"control"`
	Value   string   `json:"value"`
	Share   *float64 `json:"share,omitempty"`
}

func (r changeRequest) check() error {
	if r.Share != nil && !(*r.Share >= 0 && *r.Share <= 1) {
		return fmt.Errorf("share: read %g, want 0 to 1", *r.Share)
	}
	return nil
}

// An openRequest brings a document, or names a starter. Empty, it asks for what
// the server was started with.
type openRequest struct {
	Name    string `json:"name,omitempty"`
	Text    string `json:"text,omitempty"`
	Starter string `json:"starter,omitempty"`
}

func (r openRequest) check() error {
	const longestName = 200
	if len(r.Name) > longestName {
		return fmt.Errorf("name: read %d bytes, want at most %d", len(r.Name), longestName)
	}
	if r.Text != "" && r.Starter != "" {
		return errors.New("starter: read one beside a text, want either")
	}
	return nil
}

// An emptyRequest says nothing.
type emptyRequest struct{}

func (emptyRequest) check() error { return nil }

type request interface{ check() error }

// decode reads a request: one JSON object of known fields within their limits.
func decode[R request](body io.Reader) (R, error) {
	var r R
	text, err := io.ReadAll(body)
	if err != nil {
		return r, err
	}
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(&r); err != nil {
		return r, err
	}
	if _, err := d.Token(); err != io.EOF {
		return r, errors.New("more than one JSON value")
	}
	return r, r.check()
}

// read decodes the body of a request, or answers why it cannot.
func read[R request](w *responder, r *asked, most int64) (R, bool) {
	body := &io.LimitedReader{R: r.body, N: most + 1}
	in, err := decode[R](body)
	switch {
	case body.N <= 0:
		refuse(w, statusRequestEntityTooLarge, fmt.Sprintf("the body is over %d bytes", most))
		return in, false
	case err != nil:
		refuse(w, statusBadRequest, err.Error())
	}
	return in, err == nil
}

// finite keeps what JSON cannot carry out of a reply.
func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
