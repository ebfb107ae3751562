package gaugelog

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

const (
	longestLine  = 64 << 10
	mostProblems = 20
	mostTime     = 1e9 // s
)

// Read reads a log; messages call it by the name. An error about what stands in it is
// a *scenario.InputError; all others are the reader's, or the context's.
func Read(ctx context.Context, r io.Reader, name string) (*Log, error) {
	p := &parser{name: name, lines: asUTF8(bufio.NewReaderSize(r, longestLine))}
	if is, want := stranger(p.lines); is != "" {
		p.line = 1
		p.add(scenario.Problem{Key: "log", Read: is, Want: want})
		return nil, p.failed()
	}
	if err := p.header(); err != nil {
		return nil, err
	}
	return p.rows(ctx)
}

// parser goes through the lines of one log.
type parser struct {
	name     string
	lines    *bufio.Reader
	line     int
	problems []scenario.Problem

	separator rune
	heads     []heading
	// column is the place of each heading in the log, or one of the words below.
	column []int
	scale  []float64
	log    *Log
	thin   *thinner
	sieve  *sieve
	// repeats keeps rows from the sieve in which the gauges were not read, and has those of
	// the pedal go through a sieve of their own.
	repeats *repeats
	foot    *sieve
	// begun is the first row's time by a clock, days how many midnights have passed since,
	// in s; shown is what the last row's clock showed.
	begun, days float64
	shown       string
	// held is a line that was read too early.
	held []byte
}

const (
	isTime  = -1
	leftOut = -2
	// isEmpty is a gauge that was not there: nothing stands in its first row.
	isEmpty = -3
)

func (p *parser) add(found ...scenario.Problem) {
	for _, f := range found {
		f.File, f.Line = p.name, p.line
		p.problems = append(p.problems, f)
	}
}

func (p *parser) failed() error {
	if len(p.problems) == 0 {
		return nil
	}
	e := &scenario.InputError{Problems: p.problems}
	if len(p.problems) > mostProblems {
		e.Problems, e.More = p.problems[:mostProblems], len(p.problems)-mostProblems
	}
	return e
}

// next returns the next line with something in it; at the end the error is io.EOF. The
// line is good until the next call.
func (p *parser) next() ([]byte, error) {
	if p.held != nil {
		line := p.held
		p.held = nil
		return line, nil
	}
	for {
		line, err := p.lines.ReadSlice('\n')
		if errors.Is(err, bufio.ErrBufferFull) {
			p.line++
			p.add(scenario.Problem{Key: "row", Read: fmt.Sprintf("more than %d bytes without the end of a line", longestLine), Want: "a row of a few numbers"})
			return nil, p.failed()
		}
		if len(line) == 0 && err != nil {
			return nil, err
		}
		if p.line++; p.line == 1 {
			line = bytes.TrimPrefix(line, []byte("\xef\xbb\xbf"))
		}
		line = bytes.TrimRight(line, "\r\n")
		if text := bytes.TrimSpace(line); len(text) > 0 && text[0] != '#' {
			return line, nil
		}
		if err != nil {
			return nil, err
		}
	}
}

// header reads what the columns are, and a row of units below it if there is one.
func (p *parser) header() error {
	line, err := p.next()
	if errors.Is(err, io.EOF) {
		p.line = max(1, p.line)
		p.add(scenario.Problem{Key: "header", Read: "nothing", Want: `the names of columns with their units, such as "time [s],front vacuum [inHg]"`})
		return p.failed()
	} else if err != nil {
		return err
	}
	text := string(line)
	p.separator = separatorOf(text)
	names, err := fields(text, p.separator)
	if err != nil {
		p.add(scenario.Problem{Key: "header", Read: strconv.Quote(shortened(text)), Want: "names of columns"})
		return p.failed()
	}
	for _, n := range names {
		p.heads = append(p.heads, head(n))
	}
	inDoubtNone(p.heads)
	headerLine := p.line
	if slices.ContainsFunc(p.heads, func(h heading) bool { return h.used() && h.unit == "" }) {
		below, err := p.next()
		switch {
		case err == nil:
			row, err := fields(string(below), p.separator)
			if err != nil || !units(p.heads, row) {
				p.held = slices.Clone(below)
				byClock(p.heads, row)
			}
		case !errors.Is(err, io.EOF):
			return err
		}
	}
	rowLine := p.line
	p.line = headerLine
	p.add(check(p.heads)...)
	p.line = rowLine
	if err := p.failed(); err != nil {
		return err
	}
	p.log = &Log{Name: p.name, HeaderLine: headerLine}
	for i := range p.heads {
		h := &p.heads[i]
		scale, _ := h.scale()
		p.scale = append(p.scale, scale)
		switch {
		case h.time:
			p.column = append(p.column, isTime)
		case h.used():
			p.column = append(p.column, 0)
		default:
			p.column = append(p.column, leftOut)
		}
	}
	return nil
}

// begin gives the gauges that are there in the first row their places in the log.
func (p *parser) begin(first []byte) {
	cells := bytes.Split(first, []byte(string(p.separator)))
	gauges := 0
	for i := range p.heads {
		h := &p.heads[i]
		if p.column[i] >= 0 && i < len(cells) && len(bytes.Trim(cells[i], " \t\"")) == 0 {
			p.column[i] = isEmpty
		}
		switch {
		case p.column[i] >= 0:
			p.column[i] = len(p.log.Columns)
			p.log.Columns = append(p.log.Columns, Column{Kind: h.kind, Header: h.text, Absolute: h.absolute, Unit: h.unit, Scale: p.scale[i]})
			if h.kind != Pedal {
				gauges++
			}
		case p.column[i] == isEmpty:
			p.log.Empty = append(p.log.Empty, h.text)
		case p.column[i] != isTime:
			p.log.Ignored = append(p.log.Ignored, h.text)
		}
	}
	if gauges == 0 {
		p.add(scenario.Problem{Key: "row", Read: "nothing in the column of any gauge", Want: "readings from the first row on"})
	}
	p.thin = newThinner(p.log.Columns)
	p.sieve = &sieve{thin: p.thin}
	p.repeats = &repeats{columns: p.log.Columns, next: p.sieve.add}
	if k := p.log.Column(Pedal); k >= 0 {
		p.foot = &sieve{thin: newThinner(p.log.Columns[k : k+1])}
		p.repeats.foot = p.foot.add
	}
}

// rows reads the rest.
func (p *parser) rows(ctx context.Context) (*Log, error) {
	l := p.log
	values := make([]float64, len(p.heads))
	last := math.Inf(-1)
	const often = 4096
	for n := 0; ; n++ {
		if n%often == 0 && ctx.Err() != nil {
			return nil, context.Cause(ctx)
		}
		line, err := p.next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		found := len(p.problems)
		if p.thin == nil {
			p.begin(line)
		}
		time := p.row(line, values, last)
		if len(p.problems) > mostProblems {
			break
		}
		if len(p.problems) > found {
			continue
		}
		if l.Rows == 0 {
			l.FirstLine = p.line
		}
		last = time
		l.Rows++
		p.repeats.add(p.line, time, values[:len(l.Columns)])
	}
	if len(p.problems) == 0 && l.Rows == 0 {
		p.line++
		p.add(scenario.Problem{Key: "row", Read: "nothing", Want: "rows of numbers below the header"})
	}
	if err := p.failed(); err != nil {
		return nil, err
	}
	p.repeats.flush()
	p.sieve.flush()
	l.Repeats = p.repeats.left
	l.Points, l.Spikes, l.MoreSpikes = p.thin.end(), p.sieve.found, p.sieve.more
	l.Rows -= len(l.Spikes) + l.MoreSpikes + l.Repeats
	if l.Rows > 1 && l.Until() <= l.From() {
		p.line = l.FirstLine
		p.add(scenario.Problem{Key: p.timeHeader(), Read: "the same time in every row", Want: "times that go on: where a clock shows whole seconds, one row a second is enough"})
		return nil, p.failed()
	}
	for k := range l.Columns {
		l.Columns[k].Noise = p.thin.noise(k)
	}
	if p.repeats.apart {
		l.Foot = p.footLog()
	}
	return l, nil
}

// footLog is the log of the pedal alone.
func (p *parser) footLog() *Log {
	p.foot.flush()
	k := p.log.Column(Pedal)
	l := &Log{Name: p.log.Name, Columns: slices.Clone(p.log.Columns[k : k+1]), HeaderLine: p.log.HeaderLine, FirstLine: p.log.FirstLine}
	l.Columns[0].Noise = p.foot.thin.noise(0)
	l.Points = p.foot.thin.end()
	for i := range l.Points {
		l.Rows += l.Points[i].Rows
	}
	return l
}

// row reads the values of a line and returns its time. What is wrong with it goes to
// the problems.
func (p *parser) row(line []byte, values []float64, last float64) (time float64) {
	if bytes.IndexByte(line, '"') >= 0 {
		cells, err := fields(string(line), p.separator)
		if err != nil {
			p.add(scenario.Problem{Key: "row", Read: strconv.Quote(shortened(string(line))), Want: "numbers"})
			return 0
		}
		// Without quotes; a cell with a separator in it is no number and stays one cell.
		for i := range cells {
			cells[i] = strings.ReplaceAll(cells[i], string(p.separator), " ")
		}
		line = []byte(strings.Join(cells, string(p.separator)))
	}
	n := bytes.Count(line, []byte(string(p.separator))) + 1
	if n == len(p.heads)+1 && len(line) > 0 && rune(line[len(line)-1]) == p.separator {
		n, line = n-1, line[:len(line)-1]
	}
	if n != len(p.heads) {
		p.add(scenario.Problem{Key: "row", Read: plural(n, "value"), Want: fmt.Sprintf("%d, one for each column of the header", len(p.heads))})
		return 0
	}
	for i, column := range p.column {
		cell := line
		if at := bytes.IndexRune(line, p.separator); at >= 0 {
			cell, line = line[:at], line[at+1:]
		}
		switch {
		case column == leftOut:
			continue
		case column == isEmpty:
			if len(bytes.TrimSpace(cell)) > 0 {
				p.add(p.heads[i].problem(readOf(cell), "nothing, as in the first row: a gauge is there from the beginning or not at all"))
			}
			continue
		}
		v, ok := p.number(i, cell)
		switch {
		case !ok:
			p.add(p.heads[i].problem(readOf(cell), p.numberWant(i)))
		case column == isTime && p.heads[i].isClock():
			time = p.byClock(v, last, cell)
			if time < last {
				p.add(p.heads[i].problem(readOf(cell), "no less than the time before, "+p.shown))
			}
			p.shown = string(bytes.TrimSpace(cell))
		case column == isTime:
			if time = v; v < last {
				p.add(p.heads[i].problem(readOf(cell), fmt.Sprintf("no less than the time before, %g %s", last/p.scale[i], p.heads[i].unit)))
			} else if math.Abs(v) > mostTime {
				p.add(p.heads[i].problem(readOf(cell), fmt.Sprintf("at most %g s", mostTime)))
			}
		default:
			if low, high := p.heads[i].limits(); v < low || v > high {
				p.add(p.heads[i].problem(readOf(cell), fmt.Sprintf("%.4g to %.4g %s, which a gauge can show", low/p.scale[i], high/p.scale[i], p.heads[i].unit)))
			}
			values[column] = v
		}
	}
	return time
}

// number reads a cell, in SI: a number in the unit of its column, or one with a unit
// of its own.
func (p *parser) number(i int, cell []byte) (float64, bool) {
	text := string(bytes.TrimSpace(cell))
	if p.heads[i].isClock() {
		return clock(text, p.heads[i].unit)
	}
	if p.separator != ',' && !strings.Contains(text, ".") {
		text = strings.Replace(text, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(text, 64)
	if err == nil && !strings.ContainsAny(text, "xX_") {
		v *= p.scale[i]
		return v, !math.IsNaN(v) && !math.IsInf(v, 0)
	}
	if v, err := si.Parse(p.heads[i].dim(), text); err == nil {
		return v, true
	}
	return 0, false
}

// byClock is the time since the first row; a clock that goes back by half a day has passed
// midnight.
func (p *parser) byClock(v, last float64, cell []byte) float64 {
	if p.log.Began == "" {
		p.begun, p.log.Began = v, string(bytes.TrimSpace(cell))
	}
	time := v + p.days - p.begun
	if last-time > day/2 {
		p.days += day
		time += day
	}
	return time
}

func (p *parser) timeHeader() string {
	return p.heads[slices.IndexFunc(p.heads, func(h heading) bool { return h.time })].text
}

func (p *parser) numberWant(i int) string {
	if p.heads[i].isClock() {
		return "a time such as 14:03:05.2; a header such as time [mm:ss] or time [hh:mm] says what two figures are"
	}
	return "a number in " + p.heads[i].unit
}

func readOf(cell []byte) string {
	text := strings.TrimSpace(string(cell))
	if text == "" {
		return "nothing"
	}
	return strconv.Quote(shortened(text))
}

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
