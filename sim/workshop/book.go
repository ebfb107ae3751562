package workshop

import (
	"fmt"
	"sync"

	"kneepoint/sim/si"
)

// A Book has the outcomes of what was done already on cars of one kind: many a fault
// or figure that differs has no part in many a test. None, it keeps nothing.
type Book struct {
	mu       sync.Mutex
	outcomes map[entry]float64
}

// An entry is all that an outcome hangs on.
type entry struct {
	trial Trial
	car   string
	foot  si.Force // of the pumps of stops-left
}

// NewBook opens a book, for [Rig.WithBook]; it can be used by several goroutines.
func NewBook() *Book { return &Book{outcomes: map[entry]float64{}} }

func (r *Rig) entry(t Trial) entry {
	if r.book == nil {
		return entry{}
	}
	e := entry{trial: t, car: r.written(t.Vacuum > 0)}
	if t.Counts() {
		e.foot = r.foot()
	}
	return e
}

// written is all of a car that an outcome can hang on; at a hand pump that is less.
func (r *Rig) written(atHandPump bool) string {
	text, c := &r.asItIs, r.config
	if atHandPump {
		text, c = &r.pumped, r.atHandPump()
	}
	if *text == "" {
		*text = fmt.Sprintf("%+v", c)
	}
	return *text
}

// once returns the outcome that is written down, or else that of doing the test. Two
// at once may both do it. They find the same but for the solver's error: a model goes on
// with the step that its last test ended with.
func (k *Book) once(e entry, do func() (float64, error)) (float64, error) {
	if k == nil {
		return do()
	}
	k.mu.Lock()
	v, ok := k.outcomes[e]
	k.mu.Unlock()
	if ok {
		return v, nil
	}
	v, err := do()
	if err == nil {
		k.mu.Lock()
		k.outcomes[e] = v
		k.mu.Unlock()
	}
	return v, err
}
