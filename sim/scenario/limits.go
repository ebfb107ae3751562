package scenario

import (
	"math"
	"reflect"
	"slices"
	"strings"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

// limitsText says within which limits a value of the key has to lie, in a system of
// units; empty where there are none. Those of the configuration are asked for, by having
// it check a value that no limit allows, so that they stand nowhere twice.
func (k *key) limitsText(system si.System) string {
	if k.limited {
		dim := k.dim
		if t := k.typeOf(); t.Kind() == reflect.Int {
			dim = si.DimNone
		}
		return si.FormatFine(dim, k.from, system) + " to " + si.FormatFine(dim, k.to, system)
	}
	_, full := usual()
	s := *full
	s.Config.Booster.Diameters = slices.Clone(s.Config.Booster.Diameters)
	s.grow(k, 1)
	if len(s.Config.Faults) > 0 {
		all := sim.FaultNames()
		s.Config.Faults[0].Name = all[max(0, slices.IndexFunc(all, func(n sim.FaultName) bool {
			s.Config.Faults[0].Name = n
			return k.used(&s, 0)
		}))]
	}
	field := reflect.ValueOf(k.at(&s, 0)).Elem()
	if field.Kind() == reflect.Slice && field.Len() > 0 {
		field = field.Index(0)
	}
	if field.Kind() != reflect.Float64 {
		return ""
	}
	field.SetFloat(math.NaN())
	path := s.Config.FieldPath(field.Addr().Interface())
	for _, p := range s.Config.CheckIn(system) {
		if p.Fatal && p.Field == path && path != "" {
			return p.Want
		}
	}
	return ""
}

// ListOf returns the keys that a word finds, all for an empty one: those in whose path
// each part of it stands, or else in whose path, meaning or words; and where there are
// none those with a name nearest to it.
func ListOf(word string) []Key {
	parts := strings.Fields(strings.ToLower(strings.NewReplacer("_", " ", "-", " ", "[", " ", "]", " ").Replace(word)))
	all := Keys()
	has := func(text func(Key) string) []Key {
		return slices.DeleteFunc(slices.Clone(all), func(k Key) bool {
			in := strings.ToLower(strings.NewReplacer("_", " ", "-", " ").Replace(text(k)))
			return slices.ContainsFunc(parts, func(p string) bool { return !strings.Contains(in, p) })
		})
	}
	if found := has(func(k Key) string { return k.Path }); len(found) > 0 {
		return found
	}
	if found := has(func(k Key) string {
		return k.Path + " " + k.Doc + " " + strings.Join(k.Choices, " ")
	}); len(found) > 0 {
		return found
	}
	return slices.DeleteFunc(all, func(k Key) bool { return !near(strings.ToLower(word), k.Path) })
}

// near reports whether the word may have been meant to be the path, its last name, or one
// of the names in it.
func near(word, path string) bool {
	names := append(strings.FieldsFunc(path, func(r rune) bool { return r == '.' || r == '_' }), leaf(path), path)
	return slices.ContainsFunc(names, func(name string) bool { return distance(word, name) <= len(name)/4 })
}
