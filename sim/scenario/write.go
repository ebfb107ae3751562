package scenario

import (
	"bytes"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"
)

// String returns the scenario as a document that holds what was set. Read again,
// it gives the same scenario; of the built-in car, with flags only, it gives the
// values of [Scenario.Document], which stay those of this car.
func (s *Scenario) String() string {
	if s.input.builtin {
		return s.Document()
	}
	return s.write(false)
}

// Given returns the scenario as a document that holds what was set, of the built-in car
// too: it is empty where that is nothing.
func (s *Scenario) Given() string { return s.write(false) }

// Document returns the scenario as a document that holds every value, set or not.
func (s *Scenario) Document() string { return s.write(true) }

// Write writes what String returns, or Document if all is true.
func (s *Scenario) Write(w io.Writer, all bool) error {
	text := s.String()
	if all {
		text = s.Document()
	}
	_, err := io.WriteString(w, text)
	return err
}

func (s *Scenario) write(all bool) string {
	var b bytes.Buffer
	header := ""
	s.eachWritten(all, func(k *key, i int) {
		h := tableHeader(k, i)
		if h != header {
			if b.Len() > 0 {
				b.WriteByte('\n')
			}
			b.WriteString(strings.SplitN(h, "#", 2)[0] + "\n")
			header = h
		}
		fmt.Fprintf(&b, "%s = %s\n", leaf(k.path), s.valueText(k, i))
	})
	if !all {
		s.emptyTables(&b)
	}
	return b.String()
}

// tableHeader returns "[booster]", or "[[press]]#1", which tells elements apart.
func tableHeader(k *key, i int) string {
	name := strings.TrimSuffix(stem(k.path), ".")
	switch {
	case name == "":
		return ""
	case repeated(name):
		return fmt.Sprintf("[[%s]]#%d", name, i)
	}
	return "[" + name + "]"
}

// eachWritten calls do for the keys that a document must have.
func (s *Scenario) eachWritten(all bool, do func(k *key, i int)) {
	if !all {
		s.everyKey(func(k *key, i int) {
			if _, isSet := s.set[k.full(i)]; isSet {
				do(k, i)
			}
		})
		return
	}
	s.everyKey(func(k *key, i int) {
		_, isSet := s.set[k.full(i)]
		absent := k.way && reflect.ValueOf(k.at(s, i)).Elem().IsZero()
		if isSet || k.used(s, i) && !absent && !s.saidOtherwise(k) && !(k.path == KeySourceVacuum && (s.estimated || s.also.inNeutral > 0)) {
			do(k, i)
		}
	})
}

// saidOtherwise reports whether another key was set in place of this one.
func (s *Scenario) saidOtherwise(k *key) bool {
	return slices.ContainsFunc(k.alternatives, func(path string) bool {
		_, isSet := s.set[path]
		return isSet
	})
}

// valueText returns the value as it was written, or else exactly.
func (s *Scenario) valueText(k *key, i int) string {
	if set, ok := s.set[k.full(i)]; ok {
		return set.value.toml()
	}
	return k.encode(k.at(s, i))
}

// emptyTables writes the headers without a key below: they make a pump, a tank, or of
// nothing else a document.
func (s *Scenario) emptyTables(b *bytes.Buffer) {
	for _, name := range tableNames() {
		if _, ok := s.input.tables[name]; !ok {
			continue
		}
		if !slices.ContainsFunc(s.input.settings, func(set setting) bool { return inTable(set.path, name) }) {
			fmt.Fprintf(b, "\n[%s]\n", name)
		}
	}
}
