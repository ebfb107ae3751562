package ask

import (
	"strings"

	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// An entry is one key of a scenario that an answer gives.
type entry struct {
	path string
	// value is as a flag takes it, a range with its half width.
	value string
	// dim and span are there for a quantity.
	dim  si.Dimension
	span span
	// usual says that the value was not given, but goes with what was.
	usual bool
}

// word is an entry that is no quantity.
func word(path, value string) entry { return entry{path: path, value: value} }

// measured is an entry of a quantity, written in the units of the answer.
func measured(path string, d si.Dimension, s span, answer string) entry {
	return entry{path: path, value: s.text(d, systemOf(answer)), dim: d, span: s}
}

// systemOf is SI where an answer was, or else the usual one in workshops that measure
// in inches.
func systemOf(answer string) si.System {
	text := strings.ToLower(answer)
	for _, unit := range []string{"mm", "cm", "kg", "kpa", "mbar", "bar", " m", " l", " t"} {
		if i := strings.Index(text, unit); i >= 0 && (i+len(unit) == len(text) || !isLetter(text[i+len(unit)])) {
			return si.SI
		}
	}
	return si.US
}

func isLetter(c byte) bool { return c >= 'a' && c <= 'z' }

func (e entry) setting() scenario.Setting { return scenario.Setting{Path: e.path, Value: e.value} }
