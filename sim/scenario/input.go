package scenario

import (
	"maps"
	"slices"
	"strings"
)

// setting is one value written for a path, with its place.
type setting struct {
	path  string // "booster.ratio", "press[0].pedal"
	value value
	place place
	// layer counts what came over what: 0 the document, then flags and edits.
	layer int
}

// input is everything that was written, in order; a Scenario is worked out from it.
type input struct {
	name    string
	builtin bool
	// tables are the places of the headers written, of elements too: "press[0]".
	tables   map[string]place
	settings []setting
	layers   int
}

func newInput(name string) *input {
	return &input{name: name, tables: map[string]place{}}
}

func (in *input) clone() *input {
	c := *in
	c.tables = maps.Clone(in.tables)
	c.settings = slices.Clone(in.settings)
	return &c
}

// hasTable reports whether the table, or any key in it, was written.
func (in *input) hasTable(name string) bool {
	if _, ok := in.tables[name]; ok {
		return true
	}
	return slices.ContainsFunc(in.settings, func(s setting) bool {
		return inTable(s.path, name)
	})
}

// inTable reports whether the path is a key of the table, of a table in it, or of its elements.
func inTable(path, table string) bool {
	rest, ok := strings.CutPrefix(path, table)
	return ok && rest != "" && (rest[0] == '.' || rest[0] == '[')
}

// drop removes a path, or all of a table.
func (in *input) drop(path string) {
	in.settings = slices.DeleteFunc(in.settings, func(s setting) bool {
		return s.path == path || inTable(s.path, path)
	})
	maps.DeleteFunc(in.tables, func(name string, _ place) bool {
		return name == path || inTable(name, path)
	})
}

// placeOf returns where the path was written, or else its table, or else the
// document's first line; written says whether the path itself was.
func (in *input) placeOf(path string) (p place, written bool) {
	for i := len(in.settings) - 1; i >= 0; i-- {
		if in.settings[i].path == path {
			return in.settings[i].place, true
		}
	}
	for table := path; ; {
		dot := strings.LastIndexByte(table, '.')
		if dot < 0 {
			return place{file: in.name, line: 1}, false
		}
		table = table[:dot]
		if p, ok := in.tables[table]; ok {
			return p, false
		}
	}
}
