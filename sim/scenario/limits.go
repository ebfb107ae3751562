package scenario

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"unicode"

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

// ListOf returns the keys that a word finds, all for an empty one: the key itself, or those
// of which each part of it begins a name in the path, or else one in path, meaning or words;
// where there are none, those with a name nearest to it.
func ListOf(word string) []Key {
	word = strings.ToLower(word)
	parts := plainWords(word)
	all := Keys()
	if i := slices.IndexFunc(all, func(k Key) bool { return k.Path == word }); i >= 0 {
		return all[i : i+1]
	}
	having := func(text func(Key) string) []Key {
		return slices.DeleteFunc(slices.Clone(all), func(k Key) bool {
			in := plainWords(strings.ToLower(text(k)))
			return slices.ContainsFunc(parts, func(part string) bool {
				return !slices.ContainsFunc(in, func(w string) bool { return strings.HasPrefix(w, part) })
			})
		})
	}
	if found := having(func(k Key) string { return k.Path }); len(found) > 0 {
		return found
	}
	if found := having(func(k Key) string {
		return k.Path + " " + k.Doc + " " + strings.Join(k.Choices, " ")
	}); len(found) > 0 {
		return found
	}
	return slices.DeleteFunc(all, func(k Key) bool { return !near(word, k.Path) })
}

func plainWords(text string) []string {
	return strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
}

// near reports whether the word may have been meant to be the path, its last name, or one
// of the names in it.
func near(word, path string) bool {
	names := append(plainWords(path), leaf(path), path)
	return slices.ContainsFunc(names, func(name string) bool { return distance(word, name) <= len(name)/4 })
}
