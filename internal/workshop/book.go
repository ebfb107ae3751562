package workshop

import (
	"context"
	"encoding/binary"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
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

// looked is the outcome of a trial from the book, or else that of doing it, on the car
// without what has no part in it: whichever of several cars comes first, the figure is the
// same to the last digit.
func (r *Rig) looked(ctx context.Context, t Trial) (float64, error) {
	if r.book == nil {
		return t.test.simulate(r, ctx, t.Conditions)
	}
	l := r.like(hangsOn{t.Vacuum > 0, t.atRest()})
	e := entry{trial: t, car: l.written}
	if t.Counts() {
		e.foot = r.foot()
	}
	return r.book.once(e, func() (float64, error) { return t.test.simulate(l.rig, ctx, t.Conditions) })
}

// A likeness is a car without the faults that have no part in a kind of trials, and all
// of it that the outcome of one can hang on.
type likeness struct {
	rig     *Rig
	written string
}

func (r *Rig) like(kind hangsOn) likeness {
	if l, ok := r.likes[kind]; ok {
		return l
	}
	l := likeness{rig: r}
	if none := func(f sim.Fault) bool { return kind.without(f.Name) }; slices.ContainsFunc(r.config.Faults, none) {
		c := r.config
		c.Faults = slices.DeleteFunc(slices.Clone(c.Faults), none)
		l.rig = NewRig(c, r.reserve, r.gauges)
	}
	c := l.rig.config
	if kind.atHandPump {
		c = l.rig.atHandPump()
	}
	l.written = string(written(nil, reflect.ValueOf(c)))
	r.likes[kind] = l
	return l
}

// written appends all that a value holds, field by field: of two cars it is the same where
// they are.
func written(b []byte, v reflect.Value) []byte {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			b = written(b, v.Field(i))
		}
	case reflect.Slice:
		b = binary.AppendUvarint(b, uint64(v.Len()))
		for i := range v.Len() {
			b = written(b, v.Index(i))
		}
	case reflect.Float64:
		b = binary.LittleEndian.AppendUint64(b, math.Float64bits(v.Float()))
	case reflect.String:
		b = append(binary.AppendUvarint(b, uint64(v.Len())), v.String()...)
	case reflect.Bool:
		b = strconv.AppendBool(b, v.Bool())
	default:
		panic(fmt.Sprintf("a car holds a %s", v.Kind()))
	}
	return b
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
// at once may both do it; they find the same.
func (k *Book) once(e entry, do func() (float64, error)) (float64, error) {
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
