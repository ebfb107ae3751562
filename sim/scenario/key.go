package scenario

import (
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"kneepoint/sim/si"
)

// key is one row of the table of keys.
type key struct {
	// path is "booster.ratio"; of elements it goes without an index: "press.pedal".
	path string
	doc  string
	dim  si.Dimension
	// choices are the words there are, where the value is one of some.
	choices []string
	// from and to are the limits, in SI, of what sim.Config.Check does not see.
	from, to float64
	limited  bool
	// def says in words where the default comes from.
	def string
	// estimate says that the default has no source.
	estimate bool
	// derived says that the default follows from other values.
	derived bool
	// main says that an answer should mention the value if it was assumed.
	main bool
	// way says that the key has no value where it was not set: it is another way
	// to set other keys, or its absence means none.
	way bool
	// alternatives are the keys that exclude this one.
	alternatives []string
	// around says between which values of other cars the default may lie, in SI; nil
	// where it is a word, or nobody's to measure.
	around func(v float64) Range
	// how says in words how the value is measured.
	how string
	// most is the number of items a list can have.
	most int
	// at returns a pointer to the field of a scenario; the index counts elements.
	at func(s *Scenario, i int) any
	// when reports whether the key has a meaning in the scenario.
	when func(s *Scenario, i int) bool
}

func (k *key) used(s *Scenario, i int) bool { return k.when == nil || k.when(s, i) }

// typeOf returns the type of the key's field.
func (k *key) typeOf() reflect.Type { return reflect.TypeOf(k.at(blank(k, 0), 0)).Elem() }

// column is a key of a table that is held in a P.
type column[P any] struct {
	key
	of func(*P) any
}

// field makes a row. The kind of value follows from the field's type.
func field[P, T any](name, doc string, of func(*P) *T, options ...func(*key)) column[P] {
	c := column[P]{key: key{path: name, doc: doc, most: 1}, of: func(p *P) any { return of(p) }}
	t := reflect.TypeFor[T]()
	if t.Kind() == reflect.Slice {
		c.most = 100
		t = t.Elem()
	}
	if q, ok := reflect.Zero(t).Interface().(interface{ Dimension() si.Dimension }); ok {
		c.dim = q.Dimension()
	}
	for _, option := range options {
		option(&c.key)
	}
	return c
}

// The options of a row.

func estimate(k *key) { k.estimate = true }
func mainKey(k *key)  { k.main = true }
func another(k *key)  { k.way = true }

func derived(def string) func(*key) {
	return func(k *key) { k.derived, k.def = true, def }
}

func defaultIs(def string) func(*key) { return func(k *key) { k.def = def } }

func words[T ~string](choices ...T) func(*key) {
	return func(k *key) {
		for _, c := range choices {
			k.choices = append(k.choices, string(c))
		}
	}
}

func limits(from, to float64) func(*key) {
	return func(k *key) { k.from, k.to, k.limited = from, to, true }
}

func instead(paths ...string) func(*key) { return func(k *key) { k.alternatives = paths } }

func atMost(n int) func(*key) { return func(k *key) { k.most = n } }

func pascals(k *key) { k.dim = si.DimPressure }

// table makes the keys of a table out of its rows.
func table[P any](name string, of func(s *Scenario, i int) *P, when func(s *Scenario, i int) bool, rows ...column[P]) []key {
	out := make([]key, 0, len(rows))
	for _, row := range rows {
		k := row.key
		if name != "" {
			k.path = name + "." + strings.TrimPrefix(k.path, name+".")
		}
		k.when = when
		k.at = func(s *Scenario, i int) any { return row.of(of(s, i)) }
		out = append(out, k)
	}
	return out
}

// keyOf finds the key of a path and the index in it: "press[2].pedal".
func keyOf(path string) (k *key, index int, ok bool) {
	bare := path
	element := elementPath().FindStringSubmatch(path)
	if element != nil {
		n, err := strconv.Atoi(element[2])
		if err != nil || !repeated(element[1]) {
			return nil, 0, false
		}
		index, bare = n, element[1]+"."+element[3]
	}
	i, ok := keyIndex[bare]
	if !ok {
		return nil, 0, false
	}
	name, _, _ := strings.Cut(bare, ".")
	if repeated(name) != (element != nil) {
		return nil, 0, false
	}
	return &keys[i], index, true
}

// full returns the path with the index of an element.
func (k *key) full(i int) string {
	name, rest, ok := strings.Cut(k.path, ".")
	if !ok || !repeated(name) {
		return k.path
	}
	return fmt.Sprintf("%s[%d].%s", name, i, rest)
}

// repeatedTables are the tables of which a scenario can have several.
var repeatedTables = []string{"press", "event", "fault", "reading"}

func repeated(table string) bool { return slices.Contains(repeatedTables, table) }

// isTable reports whether a table of the name can be written. [brake] and
// [circuit] only hold others.
func isTable(name string) bool {
	return slices.ContainsFunc(keys, func(k key) bool { return inTable(k.path, name) })
}

// tableNames returns the tables that hold keys of their own, in order.
func tableNames() []string {
	var names []string
	for i := range keys {
		if t := strings.TrimSuffix(stem(keys[i].path), "."); t != "" && !slices.Contains(names, t) {
			names = append(names, t)
		}
	}
	return names
}
