package gaugelog

import (
	"math"
	"slices"
	"strconv"

	"kneepoint/sim/si"
)

// A Kind is what a column measures.
type Kind string

// The kinds of column, without the time.
const (
	Pedal     Kind = "pedal force"
	Line      Kind = "line pressure"
	RearLine  Kind = "rear line pressure"
	Front     Kind = "front vacuum"
	Working   Kind = "working vacuum"
	Hose      Kind = "hose vacuum"
	Reservoir Kind = "reservoir vacuum"
	Manifold  Kind = "manifold vacuum"
)

// Dimension returns the dimension of what the kind measures.
func (k Kind) Dimension() si.Dimension {
	switch k {
	case Pedal:
		return si.DimForce
	case Line, RearLine:
		return si.DimPressure
	}
	return si.DimVacuum
}

// limits are the readings in SI that a gauge of the kind can show; a little below
// nothing is a gauge that does not stand at zero.
func (k Kind) limits() (low, high float64) {
	switch k.Dimension() {
	case si.DimForce:
		return -50, 5000
	case si.DimPressure:
		return -1e6, 50e6
	}
	return -10e3, 110e3
}

// resolution is, in SI, finer than any gauge of the kind.
func (k Kind) resolution() float64 {
	switch k.Dimension() {
	case si.DimForce:
		return 0.1
	case si.DimPressure:
		return 100
	}
	return 1
}

// A Column is one gauge of a log.
type Column struct {
	Kind Kind
	// Header is its name and unit as written.
	Header string
	// Absolute says that it is a pressure from nothing up, and no vacuum yet.
	Absolute bool
	// Unit is that of the column, and Scale what it is in SI.
	Unit  string
	Scale float64
	// Noise is the scatter of single readings about straight lines through their
	// neighbours, in SI; no less than the resolution of any gauge.
	Noise float64
}

// Show prints a value in SI in the column's own unit.
func (c Column) Show(v float64) string {
	return strconv.FormatFloat(si.Significant(v/c.Scale, 4), 'f', -1, 64) + " " + c.Unit
}

// A Log is what was read.
type Log struct {
	// Name is the file's, or "stdin".
	Name string
	// Columns are those that were understood, without the time.
	Columns []Column
	// Ignored are the headers of the others, Empty those of gauges that show nothing.
	Ignored, Empty []string
	// Began is what the clock of a log by a clock showed in its first row, from which its
	// times count; empty for any other.
	Began  string
	Points []Point
	// Rows counts those of the points; those with a spike are left out, and Repeats more in
	// which the slowest gauge was not read: the logger wrote its last reading again.
	Rows, Repeats int
	// Foot is the pedal's column alone, with the rows in which that was read; nil where these
	// are the same.
	Foot *Log
	// Spikes are dropouts of the gauges, MoreSpikes how many are not listed.
	Spikes     []Spike
	MoreSpikes int
	// HeaderLine and FirstLine are the lines of the header and of the first row.
	HeaderLine, FirstLine int
}

// Thinned reports whether rows were put together.
func (l *Log) Thinned() bool { return len(l.Points) < l.Rows }

// Column returns the index of the column of a kind, or -1.
func (l *Log) Column(k Kind) int {
	for i, c := range l.Columns {
		if c.Kind == k {
			return i
		}
	}
	return -1
}

// From and Until are the times of the first and the last row.
func (l *Log) From() si.Time { return si.Time(l.Points[0].From) }

// Until returns the time of the last row.
func (l *Log) Until() si.Time { return si.Time(l.Points[len(l.Points)-1].To) }

// AsVacuums returns the log with all absolute pressures as vacuums below an ambient one.
func (l *Log) AsVacuums(ambient si.Pressure) *Log {
	out := *l
	for k, c := range l.Columns {
		if !c.Absolute {
			continue
		}
		if &out.Points[0] == &l.Points[0] {
			out.Columns, out.Points = slices.Clone(l.Columns), slices.Clone(l.Points)
			for i := range out.Points {
				out.Points[i].lines = slices.Clone(out.Points[i].lines)
			}
		}
		out.Columns[k].Absolute = false
		for i := range out.Points {
			line := &out.Points[i].lines[k]
			line.mean, line.product = float64(ambient)-line.mean, -line.product
		}
	}
	return &out
}

// A Point is one row, or some that lie on a straight line.
type Point struct {
	Rows int
	// Line is that of the first row.
	Line int
	// From and To are the times of the first and the last row, Time the mean of all.
	From, To, Time float64
	// squares is the sum of the squares of the times about their mean.
	squares float64
	lines   []line
}

// line holds the sums of one column about its mean.
type line struct{ mean, squares, product float64 }

// Mean returns the mean of a column.
func (p *Point) Mean(column int) float64 { return p.lines[column].mean }

// Spread returns the standard deviation of the times of the rows: the mean of a smooth
// course over the rows is that of its values at Time - Spread and Time + Spread, to the
// third order.
func (p *Point) Spread() float64 { return math.Sqrt(p.squares / float64(p.Rows)) }

// At returns the straight line through a column's readings at a time.
func (p *Point) At(column int, time float64) float64 {
	l := p.lines[column]
	if p.squares == 0 {
		return l.mean
	}
	return l.mean + l.product/p.squares*(time-p.Time)
}

// rest is what the readings of a column miss their straight line by, squared.
func (p *Point) rest(column int) float64 {
	l := p.lines[column]
	if p.squares == 0 {
		return l.squares
	}
	return max(0, l.squares-l.product*l.product/p.squares)
}

// merged puts a point and its successor together, into the lines given.
func (p *Point) merged(q *Point, into []line) Point {
	n, m := float64(p.Rows), float64(q.Rows)
	share := m / (n + m)
	weight := n * share
	dt := q.Time - p.Time
	out := Point{
		Rows: p.Rows + q.Rows, Line: p.Line, From: p.From, To: q.To, Time: p.Time + share*dt,
		squares: p.squares + q.squares + weight*dt*dt, lines: into,
	}
	for k := range into {
		a, b := p.lines[k], q.lines[k]
		d := b.mean - a.mean
		into[k] = line{a.mean + share*d, a.squares + b.squares + weight*d*d, a.product + b.product + weight*d*dt}
	}
	return out
}
