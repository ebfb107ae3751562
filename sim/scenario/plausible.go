package scenario

import (
	"strings"
	"sync"

	"kneepoint/sim/si"
)

// A Range is between which values a default may lie on a car like the reader's, in SI.
// Every range is an estimate.
type Range struct{ Low, High float64 }

// Around reports whether the value lies in the range.
func (r Range) Around(v float64) bool { return v >= r.Low && v <= r.High }

// Units in which the table of keys gives ranges.
const (
	inHg = si.InchOfMercury
	rpm  = si.RevPerMinute
)

// yours is how to find out what is nobody's to measure.
const yours = "yours to choose"

// plausible says between which values of any car the default may lie, in SI, and how it
// is measured.
func plausible(low, high float64, how string) func(*key) {
	return func(k *key) {
		k.around, k.how = func(float64) Range { return Range{low, high} }, how
	}
}

// shares is plausible for a value worked out from others: by which factors it may be off.
func shares(low, high float64, how string) func(*key) {
	return func(k *key) {
		k.around, k.how = func(v float64) Range { return Range{low * v, high * v} }, how
	}
}

// found says how to find out what has no range.
func found(how string) func(*key) { return func(k *key) { k.how = how } }

// rangeOf returns between which values a default may lie, nil where that cannot be said:
// for words, and for several values in a list.
func (k *key) rangeOf(ptr any) *Range {
	if k.around == nil {
		return nil
	}
	v, ok := k.numbers(ptr)
	if n, whole := ptr.(*int); whole {
		v, ok = []float64{float64(*n)}, true
	}
	if !ok || len(v) != 1 {
		return nil
	}
	r := k.around(v[0])
	return &r
}

// usual are the cars that the reference takes defaults from: one with nothing set, and
// one with all that is absent as a rule.
var usual = sync.OnceValues(func() (bare, full *Scenario) {
	bare, err := Builtin()
	if err != nil {
		panic(err) // nothing was read that could be wrong
	}
	full, err = Read(strings.NewReader("[pump]\n[reservoir]\n[cam]\nduration = 230\n"), "usual")
	if err != nil {
		panic(err)
	}
	return bare, full
})

// usualOf returns the car that shows the default of the key.
func (k *key) usualOf() *Scenario {
	bare, full := usual()
	if k.used(bare, 0) {
		return bare
	}
	return full
}
