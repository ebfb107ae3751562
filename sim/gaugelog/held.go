package gaugelog

import (
	"math"
	"slices"
)

// A logger that writes rows faster than a gauge is read repeats its last reading until the
// next. Such a row says nothing new of it, and taken for a reading it says wrong: that the
// gauge scatters less than it does, and that the car goes by steps. That a gauge is repeated is
// known by the numbers of rows in which it stands still, all of them a multiple of one number.
// A gauge without scatter that shows no finer than it does may stand still as evenly, on a
// straight course; but it changes by the least that it can show and never by more.
const (
	// mostUnsure is how many rows are kept until it is known, mostChanges how many that are
	// not wholly the one before, and leastRuns how many runs of rows without a change it is
	// known from.
	mostUnsure  = 40_000
	mostChanges = 5000
	leastRuns   = 20
	// regular is the share of the runs that have to be such a multiple: a row may be lost.
	regular = 0.9
	// near is how far from a multiple a run may be, as a share of the least: clocks drift.
	near = 1.0 / 8
	// free is the share of changes by more than so many times the least one, from which a
	// gauge does not just show no finer.
	free = 0.2
	more = 1.5
)

// A pace is how a logger reads one column.
type pace struct {
	column int
	each   int // rows to a reading; 1 if none is repeated
	slack  int // by which that may be exceeded
	last   float64
	run    int // rows since the last reading, of which there is none yet at -1
}

// reads says whether a row holds a new reading.
func (p *pace) reads(row *sieved) bool {
	v := row.values[p.column]
	p.run++
	if p.run > 0 && p.run < p.each+p.slack && v == p.last {
		return false
	}
	p.last, p.run = v, 0
	return true
}

// paceOf finds out how a logger reads a column.
func paceOf(rows []sieved, column int) pace {
	var runs []int
	var jumps []float64
	begin := 0
	for i := 1; i < len(rows); i++ {
		if jump := math.Abs(rows[i].values[column] - rows[i-1].values[column]); jump > 0 {
			runs, jumps = append(runs, i-begin), append(jumps, jump)
			begin = i
		}
	}
	even := pace{column: column, each: 1, run: -1}
	if len(runs) < leastRuns+1 {
		return even
	}
	least, large := slices.Min(jumps), 0
	for _, jump := range jumps {
		if jump > more*least {
			large++
		}
	}
	runs = runs[1:] // the log may have begun within one
	sorted := slices.Clone(runs)
	slices.Sort(sorted)
	out := pace{column: column, each: sorted[len(sorted)/10], run: -1}
	within := 0
	for _, n := range runs {
		off := (n+out.each/2)%out.each - out.each/2
		if off = max(off, -off); float64(off) <= near*float64(out.each) {
			within++
			out.slack = max(out.slack, off)
		}
	}
	if float64(within) < regular*float64(len(runs)) || float64(large) < free*float64(len(jumps)) {
		return even
	}
	return out
}

// repeats passes on a row where the slowest gauge was read in it. The pedal, which drives the
// car between two readings too, has a way of its own where it is read at other times.
type repeats struct {
	columns []Column
	next    func(sieved)
	foot    func(sieved) // rows of the pedal's column alone

	unsure        []sieved
	changes       int
	known, apart  bool
	gauges, pedal pace
	left          int // rows in which the slowest gauge was not read
}

func (r *repeats) add(line int, time float64, values []float64) {
	row := sieved{line, time, nil}
	if n := len(r.unsure); n > 0 && slices.Equal(values, r.unsure[n-1].values) {
		row.values = r.unsure[n-1].values // nothing keeps it to itself, and many are no burden so
	} else {
		row.values = slices.Clone(values)
		r.changes++
	}
	if r.known {
		r.pass(row)
		return
	}
	if r.unsure = append(r.unsure, row); len(r.unsure) >= mostUnsure || r.changes >= mostChanges {
		r.flush()
	}
}

// flush finds out what the logger does, and passes on the rows that waited for that.
func (r *repeats) flush() {
	if r.known {
		return
	}
	r.known = true
	r.gauges, r.pedal = pace{each: 1, run: -1}, pace{column: -1, each: 1, run: -1}
	for k, c := range r.columns {
		switch p := paceOf(r.unsure, k); {
		case c.Kind == Pedal:
			r.pedal = p
		case p.each > r.gauges.each:
			r.gauges = p
		}
	}
	r.apart = r.pedal.column >= 0 && (r.pedal.each > r.gauges.each || !r.inStep())
	for _, row := range r.unsure {
		r.pass(row)
	}
	r.unsure = nil
}

// inStep reports whether the pedal changes only where the gauges are read.
func (r *repeats) inStep() bool {
	gauges, changes, outside := r.gauges, 0, 0
	for i := range r.unsure {
		read := gauges.reads(&r.unsure[i])
		if i == 0 || r.unsure[i].values[r.pedal.column] == r.unsure[i-1].values[r.pedal.column] {
			continue
		}
		if changes++; !read {
			outside++
		}
	}
	return float64(outside) <= (1-regular)*float64(changes)
}

func (r *repeats) pass(row sieved) {
	if r.apart && r.pedal.reads(&row) {
		r.foot(sieved{row.line, row.time, row.values[r.pedal.column : r.pedal.column+1]})
	}
	if r.gauges.reads(&row) {
		r.next(row)
		return
	}
	r.left++
}
