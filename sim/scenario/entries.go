package scenario

import (
	"reflect"
	"strconv"
	"strings"

	"kneepoint/sim/si"
)

// Origin says where a value comes from.
type Origin string

// The origins of a value.
const (
	Set     Origin = "set"
	Derived Origin = "derived"
	Default Origin = "default"
)

// An Entry is one key of a scenario with its value.
type Entry struct {
	Path   string
	Origin Origin
	// Place is where the value was set: "car.toml:12", "--set".
	Place string
	// Estimate says that the value was not set and has no source.
	Estimate bool
	// Main says that an answer should mention the value if it was assumed.
	Main bool
	// Doc says what the value is, and From, unless it was set, where it comes from.
	Doc, From string
	// Dim and SI hold a quantity, or the list of them; SI is nil for anything else.
	Dim si.Dimension
	SI  []float64
	// Range is between which values the value may lie if it was not set (estimates); nil
	// where that cannot be said.
	Range *Range
	// HowToMeasure says in words how to find the value out.
	HowToMeasure string
	// HalfWidth is that of a value estimated as a band, in SI.
	HalfWidth float64
	// TOML is the value as a document has it.
	TOML string
}

// Text prints the value for people.
func (e Entry) Text(system si.System) string {
	if e.SI == nil {
		return strings.Trim(e.TOML, `"`)
	}
	if e.HalfWidth > 0 {
		return si.FormatSpan(e.Dim, e.SI[0]-e.HalfWidth, e.SI[0]+e.HalfWidth, system)
	}
	texts := make([]string, len(e.SI))
	for i, v := range e.SI {
		texts[i] = si.FormatFine(e.Dim, v, system)
	}
	return strings.Join(texts, ", ")
}

// Entries returns every key that has a meaning in the scenario, in the order of
// the keys, with its value. Elements of repeated tables are in the order written.
func (s *Scenario) Entries() []Entry {
	var entries []Entry
	s.each(func(k *key, i int) {
		path := k.full(i)
		set, isSet := s.set[path]
		ptr := k.at(s, i)
		if k.way && !isSet && reflect.ValueOf(ptr).Elem().IsZero() {
			return
		}
		e := Entry{
			Path: path, Origin: Default, Main: k.main, Doc: k.doc, From: k.def, Dim: k.dim,
			TOML: k.encode(ptr), Estimate: k.estimate && !isSet,
			HowToMeasure: k.how,
		}
		if !isSet && !s.saidOtherwise(k) {
			e.Range = k.rangeOf(ptr)
		}
		if v, ok := k.numbers(ptr); ok {
			e.SI = v
		}
		if inTable(k.path, "reading") {
			e.Dim = k.shownBy(s.Readings[i].Test).dim
		}
		switch {
		case isSet:
			e.Origin, e.Place, e.From = Set, set.place.String(), ""
			if set.value.kind == textValue && e.SI == nil {
				e.TOML = set.value.toml()
			}
		case k.derived || s.saidOtherwise(k):
			e.Origin = Derived
		}
		if low, high, ok := s.EstimatedVacuum(); ok && path == KeySourceVacuum {
			e.Origin, e.Estimate = Derived, true
			e.Doc, e.From = "of the engine at idle, not measured; measure it", "the cam, "+measureIt
			e.HalfWidth, e.Range = float64(high-low)/2, &Range{float64(low), float64(high)}
			e.TOML = tomlText(quantityText(k.dim, e.SI[0]) + " ± " + quantityText(k.dim, e.HalfWidth))
		}
		entries = append(entries, e)
	})
	return entries
}

// HowToMeasure says in words how the value of a path is found out; empty where it has no
// meaning in the scenario or that cannot be said.
func (s *Scenario) HowToMeasure(path string) string {
	for _, e := range s.Entries() {
		if e.Path == path {
			return e.HowToMeasure
		}
	}
	return ""
}

// String returns "car.toml:12", or "--set".
func (p place) String() string {
	if p.line == 0 {
		return "--set"
	}
	return p.file + ":" + strconv.Itoa(p.line)
}

// Assumed returns the entries that were not set and matter for an answer; with
// all, every one that was not set. What another key says in its place, as an altitude
// does for the air's pressure, is not assumed.
func (s *Scenario) Assumed(all bool) []Entry {
	var assumed []Entry
	for _, e := range s.Entries() {
		if e.Origin != Set && (all || e.Main) && !s.givenAnotherWay(e.Path) {
			assumed = append(assumed, e)
		}
	}
	return assumed
}

func (s *Scenario) givenAnotherWay(path string) bool {
	k, _, ok := keyOf(path)
	return ok && s.saidOtherwise(k)
}

// each calls do for every key, and element of a repeated table, with a meaning
// in the scenario.
func (s *Scenario) each(do func(k *key, i int)) {
	s.everyKey(func(k *key, i int) {
		if k.used(s, i) {
			do(k, i)
		}
	})
}

// everyKey calls do for every key of all that the scenario can hold.
func (s *Scenario) everyKey(do func(k *key, i int)) {
	counts := map[string]int{
		"press": len(s.Presses), "event": len(s.Events), "fault": len(s.Config.Faults), "reading": len(s.Readings),
	}
	for first := 0; first < len(keys); {
		table, _, _ := strings.Cut(keys[first].path, ".")
		last := first
		for last < len(keys) && (last == first || inTable(keys[last].path, table)) {
			last++
		}
		n, several := counts[table]
		if !several {
			n = 1
		}
		for i := range n {
			for k := first; k < last; k++ {
				do(&keys[k], i)
			}
		}
		first = last
	}
}

// A Key is one row of the list of all keys.
type Key struct {
	// Path goes without an index where a table can be repeated: "press.pedal".
	Path string
	// Repeated says that there can be several of its table.
	Repeated bool
	// Kind says what a value is: "a vacuum", "true or false", "a list of lengths".
	Kind string
	Dim  si.Dimension
	Doc  string
	// From says where the default comes from, if it is more than a value.
	From string
	// Default is the value of a car of which nothing else is known, as a document has it
	// and in SI; empty for none.
	Default   string
	DefaultSI []float64
	Estimate  bool
	Choices   []string
	// Range is between which values the default may lie (estimates), nil where that
	// cannot be said; HowToMeasure says in words how to find the value out.
	Range        *Range
	HowToMeasure string
	// key is the row of the table.
	key *key
}

// Limits says within which limits a value has to lie, empty for none.
func (k Key) Limits(system si.System) string { return k.key.limitsText(system) }

// Measured reports whether HowToMeasure tells how; else the value is a choice.
func (k Key) Measured() bool { return k.HowToMeasure != "" && k.HowToMeasure != yours }

// Main reports whether answers depend on the value so much that they name it if it was
// assumed.
func (k Key) Main() bool { return k.key.main }

// DefaultText prints the default for people.
func (k Key) DefaultText(system si.System) string {
	return Entry{Dim: k.Dim, SI: k.DefaultSI, TOML: k.Default}.Text(system)
}

// Keys returns the list of all keys, in order.
func Keys() []Key {
	out := make([]Key, len(keys))
	for i := range keys {
		k := &keys[i]
		name, _, _ := strings.Cut(k.path, ".")
		t := k.typeOf()
		kind := ""
		if t.Kind() == reflect.Slice {
			kind = "a list, each " + k.oneWant(t.Elem())
		} else {
			kind = k.oneWant(t)
		}
		out[i] = Key{Path: k.path, Repeated: repeated(name), Kind: kind, Dim: k.dim, Doc: k.doc, From: k.def, Estimate: k.estimate, Choices: k.choices,
			HowToMeasure: k.how, key: k, Default: k.defaultTOML()}
		if out[i].Default != "" {
			ptr := k.at(k.usualOf(), 0)
			out[i].Range = k.rangeOf(ptr)
			out[i].DefaultSI, _ = k.numbers(ptr)
		}
	}
	return out
}
