package study

import (
	"fmt"
	"sync"

	"kneepoint/sim/si"
)

// A book has the outcomes of what was done already on cars of one kind: many a fault
// or figure that differs has no part in many a test. None, it keeps nothing.
type book struct {
	mu       sync.Mutex
	outcomes map[entry]float64
}

// An entry is all that an outcome hangs on.
type entry struct {
	trial trial
	car   string
	foot  si.Force // of the pumps of stops-left
}

func newBook() *book { return &book{outcomes: map[entry]float64{}} }

func (b *Bay) entry(t trial) entry {
	if b.book == nil {
		return entry{}
	}
	c := b.config
	if t.start > 0 {
		c = b.atHandPump()
	}
	e := entry{trial: t, car: fmt.Sprintf("%+v", c)}
	if t.gaugeCounts() {
		e.foot = b.foot()
	}
	return e
}

// once returns the outcome that is written down, or else that of doing the test. Two
// at once may both do it, and find the same.
func (k *book) once(e entry, do func() (float64, error)) (float64, error) {
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
