package scenario

import (
	"fmt"
	"slices"
	"strings"
)

// A Problem is one thing wrong, or unlikely, in the input.
type Problem struct {
	// File is the document's name, and Line counts its lines from 1. A setting
	// from a flag has no line.
	File string
	Line int
	// Key is the path of the key: "booster.ratio".
	Key string
	// Read says what was read, Want what would be right.
	Read, Want string
}

// String returns "FILE:LINE: key: read ..., want ...", or "--set key: ..." for a flag.
func (p Problem) String() string {
	text := fmt.Sprintf("%s: read %s, want %s", p.Key, p.Read, p.Want)
	if p.Line == 0 {
		return "--set " + text
	}
	return fmt.Sprintf("%s:%d: %s", p.File, p.Line, text)
}

// An InputError says all that is wrong with a document and its flags.
type InputError struct {
	// Problems are in order of place, the flags' last; there are at most 20.
	Problems []Problem
	// More counts those left out.
	More int
}

// Error returns one line for each problem.
func (e *InputError) Error() string {
	lines := make([]string, 0, len(e.Problems)+1)
	for _, p := range e.Problems {
		lines = append(lines, p.String())
	}
	if e.More > 0 {
		lines = append(lines, fmt.Sprintf("and %d more", e.More))
	}
	return strings.Join(lines, "\n")
}

const mostProblems = 20

// inputError returns the problems as an error, nil if there are none.
func inputError(problems []Problem) error {
	if len(problems) == 0 {
		return nil
	}
	slices.SortStableFunc(problems, func(a, b Problem) int {
		if (a.Line == 0) != (b.Line == 0) {
			return b.Line - a.Line
		}
		return a.Line - b.Line
	})
	e := &InputError{Problems: problems}
	if len(problems) > mostProblems {
		e.Problems, e.More = problems[:mostProblems], len(problems)-mostProblems
	}
	return e
}

// place is where a value was written.
type place struct {
	file string
	line int // 0 for a flag
}

func (p place) problem(key, read, want string) Problem {
	const most = 100
	if len(key) > most {
		key = key[:most] + "…"
	}
	return Problem{File: p.file, Line: p.line, Key: strings.ToValidUTF8(key, ""), Read: read, Want: want}
}
