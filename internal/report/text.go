package report

import (
	"bytes"
	"io"
	"strings"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// TextOptions say how a text is set. The zero value is SI, 80 columns, to the
// resolution of a gauge.
type TextOptions struct {
	Units si.System
	// Fine prints four significant digits instead of what a gauge shows.
	Fine bool
	// Width is the line length, of a terminal for example; 0 is 80, and less than 40
	// is taken as 40.
	Width int
	// Assumed are the values that nobody gave.
	Assumed []Assumption
	// All asks for all of an answer that has a [answer.Screen].
	All bool
}

// An Assumption is a value taken because none was given.
type Assumption struct {
	Key   string // "booster.ratio"
	Value string // "5"
	Note  string // where it is from; may be empty
}

const (
	defaultWidth = 80
	leastWidth   = 40
)

// Text writes the words, then the tables but for those in detail, then what was
// assumed, then Caution.
// It fails for a cell of a type that answer.Cell does not name, and when w does.
func Text(w io.Writer, ans answer.Answer, opt TextOptions) error {
	limit := opt.Width
	if limit == 0 {
		limit = defaultWidth
	}
	limit = max(limit, leastWidth)

	var b bytes.Buffer
	gap := func() {
		if b.Len() > 0 {
			b.WriteByte('\n')
		}
	}
	words, tables := ans.Words, ans.Tables
	if screen, ok := ans.(answer.Screen); ok && !opt.All {
		first, short := screen.Screen(opt.Units)
		if n := len(opt.Assumed); n > 0 {
			first = append(first, "Some values are assumed, since not given, and there are more tables: --all shows them.")
			opt.Assumed = nil
		} else {
			first = append(first, "There are more tables: --all shows them.")
		}
		words, tables = func(si.System) []string { return first }, func() []answer.Table { return short }
	}
	for _, paragraph := range words(opt.Units) {
		gap()
		writeLines(&b, wrap(paragraph, limit))
	}
	for _, t := range tables() {
		if t.Detail {
			continue
		}
		lines, err := tableLines(t, opt.Units, opt.Fine, limit)
		if err != nil {
			return err
		}
		gap()
		writeLines(&b, lines)
	}
	if len(opt.Assumed) > 0 {
		gap()
		writeLines(&b, assumedLines(opt.Assumed, limit))
	}
	gap()
	writeLines(&b, wrap(Caution, limit))
	return writeInert(w, b.String())
}

func writeLines(b *bytes.Buffer, lines []string) {
	for _, l := range lines {
		b.WriteString(strings.TrimRight(l, " "))
		b.WriteByte('\n')
	}
}

func assumedLines(assumed []Assumption, limit int) []string {
	var key, value int
	for _, a := range assumed {
		key, value = max(key, width(a.Key)), max(value, width(a.Value))
	}
	lines := []string{"Assumed, since not given:"}
	for _, a := range assumed {
		head := "  " + padRight(a.Key, key) + "  " + padRight(a.Value, value) + "  "
		room := limit - width(head)
		if room < 16 {
			// No column is left for notes: they go below.
			lines = append(lines, head)
			for _, l := range wrap(a.Note, limit-6) {
				lines = append(lines, "      "+l)
			}
			continue
		}
		notes := wrap(a.Note, room)
		if len(notes) == 0 {
			notes = []string{""}
		}
		for i, l := range notes {
			if i > 0 {
				head = strings.Repeat(" ", width(head))
			}
			lines = append(lines, head+l)
		}
	}
	return lines
}
