package report

import (
	"bytes"
	"fmt"
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
	// All asks for all of an answer that has a first screen.
	All bool
	// Unset counts all values that nobody gave, Assumed being the main ones of them.
	Unset int
	// Above counts the lines that stand on the terminal above a first screen.
	Above int
	// Command prints what to type, for a first screen.
	Command func(answer.Command) string
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

// Text writes an answer's first screen, or all of it: the words, then the tables but for
// those in detail, then what was assumed. Caution ends either.
// It fails for a cell of a type that answer.Cell does not name, and when w does.
func Text(w io.Writer, ans answer.Answer, opt TextOptions) error {
	limit := opt.Width
	if limit == 0 {
		limit = defaultWidth
	}
	t := page{TextOptions: opt, limit: max(limit, leastWidth)}
	write := t.all
	if screened, ok := ans.(answer.Screened); ok && !opt.All {
		write = func(answer.Answer) error { return t.screen(screened.Screen(opt.Units)) }
	}
	if err := write(ans); err != nil {
		return err
	}
	return writeInert(w, t.b.String())
}

// page is a text while it is set.
type page struct {
	TextOptions
	limit int
	b     bytes.Buffer
}

// block writes lines with a gap before them.
func (t *page) block(lines ...string) {
	if t.b.Len() > 0 {
		t.b.WriteByte('\n')
	}
	for _, l := range lines {
		t.b.WriteString(strings.TrimRight(l, " "))
		t.b.WriteByte('\n')
	}
}

func (t *page) paragraph(words string) { t.block(Wrap(words, t.limit)...) }

func (t *page) table(table answer.Table) error {
	lines, err := tableLines(table, t.Units, t.Fine, t.limit)
	if err == nil {
		t.block(lines...)
	}
	return err
}

func (t *page) all(ans answer.Answer) error {
	for _, words := range ans.Words(t.Units) {
		t.paragraph(words)
	}
	for _, table := range ans.Tables() {
		if table.Detail {
			continue
		}
		if err := t.table(table); err != nil {
			return err
		}
	}
	if len(t.Assumed) > 0 {
		t.block(assumedLines(t.Assumed, t.limit)...)
	}
	t.paragraph(Caution)
	return nil
}

// screenLines is how many lines a first screen has.
const screenLines = 24

func (t *page) screen(s answer.Screen) error {
	below := page{TextOptions: t.TextOptions, limit: t.limit}
	if s.Table != nil {
		if err := below.table(*s.Table); err != nil {
			return err
		}
	}
	if s.DependsOn != "" {
		below.paragraph("Depends most on: " + s.DependsOn + ".")
	}
	below.next(s)
	rest := "--all prints the rest."
	if t.Unset > 0 {
		rest = fmt.Sprintf("%d values are assumed, since not given. %s", t.Unset, rest)
	}
	below.block(append(Wrap(rest, t.limit), Wrap(Caution, t.limit)...)...)

	for _, words := range s.Verdict {
		t.paragraph(words)
	}
	used := t.Above + t.lines() + 1 + below.lines()
	for _, words := range s.More {
		lines := Wrap(words, t.limit)
		if used += 1 + len(lines); used > screenLines {
			break
		}
		t.block(lines...)
	}
	t.block(strings.Split(strings.TrimSuffix(below.b.String(), "\n"), "\n")...)
	return nil
}

func (t *page) lines() int { return bytes.Count(t.b.Bytes(), []byte("\n")) }

// next is what to do, and below it what to type for that: in a line of its own, whole, so
// that it can be copied.
func (t *page) next(s answer.Screen) {
	switch {
	case s.Next == "":
	case s.Command.Verb == "" || t.Command == nil:
		t.paragraph("Next: " + s.Next + ".")
	default:
		t.block(append(Wrap("Next: "+s.Next+":", t.limit), "  "+t.Command(s.Command))...)
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
			for _, l := range Wrap(a.Note, limit-6) {
				lines = append(lines, "      "+l)
			}
			continue
		}
		notes := Wrap(a.Note, room)
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
