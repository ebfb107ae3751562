package workshop

import (
	"fmt"
	"slices"
	"sync"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
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
	e := entry{trial: t, car: r.written(t)}
	if t.Counts() {
		e.foot = r.foot()
	}
	return e
}

// written is all of a car that the outcome of a trial can hang on.
func (r *Rig) written(t Trial) string {
	key := hangsOn{t.Vacuum > 0, t.atRest()}
	if text, ok := r.asWritten[key]; ok {
		return text
	}
	c := r.config
	if key.atHandPump {
		c = r.atHandPump()
	}
	c.Faults = slices.DeleteFunc(slices.Clone(c.Faults), func(f sim.Fault) bool { return key.without(f.Name) })
	text := fmt.Sprintf("%+v", c)
	r.asWritten[key] = text
	return text
}

// hangsOn says of which kind a trial is: at a hand pump, or with the pedal free.
type hangsOn struct{ atHandPump, atRest bool }

// without reports whether a fault has no part in a trial. What the linings do shows in no
// pressure, and with the pedal free nothing behind the booster moves.
func (h hangsOn) without(name sim.FaultName) bool {
	switch side := name.Side(); {
	case name == sim.FaultLiningsGlazed:
		return true
	case h.atRest:
		return side != sim.SideSupply && side != sim.SideBooster
	}
	return false
}

// atRest reports whether the pedal is free all through a trial.
func (t Trial) atRest() bool {
	switch t.test.name {
	case scenario.ManifoldVacuum, scenario.BoosterVacuum:
		return true
	case scenario.LeakDown, scenario.Hiss, scenario.IdleChanges:
		return t.Pedal == 0
	}
	return false
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
