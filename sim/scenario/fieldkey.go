package scenario

import (
	"strconv"
	"strings"
	"sync"

	"kneepoint/internal/pattern"
	"kneepoint/sim"
)

// fieldKeys are the keys of the configuration's fields, by the field's path in it, with
// an index of 0 for elements.
var fieldKeys = sync.OnceValue(func() map[string]*key {
	index := map[string]*key{}
	for i := range keys {
		k := &keys[i]
		s := blank(k, 0)
		if path := s.Config.FieldPath(k.at(s, 0)); path != "" {
			index[path] = k
		}
	}
	return index
})

var element = pattern.Lazy(`\[(\d+)\]`)

// keyOfField returns the path of the key that sets a field of the configuration; the
// field itself where no key does.
func keyOfField(field string) string {
	i := 0
	if at := element().FindStringSubmatch(field); at != nil {
		i, _ = strconv.Atoi(at[1])
	}
	if k, ok := fieldKeys()[element().ReplaceAllString(field, "[0]")]; ok {
		return k.full(i)
	}
	// An element of a list that one key sets.
	if list, _, ok := strings.Cut(field, "["); ok {
		if k, ok := fieldKeys()[list]; ok {
			return k.path
		}
	}
	return field
}

// keysOf returns the paths of the keys that a problem of the configuration is about: of
// the field itself first, each followed by the keys that can be set in its place.
func keysOf(p sim.Problem) []string {
	var paths []string
	for _, field := range append([]string{p.Field}, p.With...) {
		path := keyOfField(field)
		paths = append(paths, path)
		if k, _, ok := keyOf(path); ok {
			paths = append(paths, k.alternatives...)
		}
	}
	return paths
}
