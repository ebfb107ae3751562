package gaugelog

import (
	"cmp"
	"math"
	"slices"
)

const (
	// mostPoints is how many points are held before some are put together, and
	// keptPoints how many are left then.
	mostPoints = 2400
	keptPoints = 1200
	// longest is the longest time that a point may stand for, as a share of the log so
	// far, as long as there are shorter ones to put together.
	longest = 1.0 / 400
	// finest is, for a log that was thinned, the share of it up to which rows on one line
	// are put together at the end, so that the last of them do not stand alone.
	finest = 1.0 / 1200
	// straight is the cost of putting two points together up to which their rows lie on
	// one line as well as scatter lets them: 99 % of pairs that do cost less (chi-squared
	// with two degrees of freedom).
	straight = 9.2
)

// thinner collects rows into points.
type thinner struct {
	columns []Column
	points  []Point
	// before, between and latest are the last three rows, for the scatter of each column.
	before, between, latest row

	seen    int
	scatter []float64
	first   [][]float64 // what the first rows add to it, by column
	counted int
	thinned bool
}

func newThinner(columns []Column) *thinner {
	t := &thinner{columns: columns, scatter: make([]float64, len(columns)), first: make([][]float64, len(columns))}
	for _, r := range []*row{&t.before, &t.between, &t.latest} {
		r.values = make([]float64, len(columns))
	}
	return t
}

// A row is what the gauges read at a time.
type row struct {
	time   float64
	values []float64
}

// add takes a row.
func (t *thinner) add(row int, time float64, values []float64) {
	t.watch(time, values)
	lines := make([]line, len(values))
	for k, v := range values {
		lines[k].mean = v
	}
	t.points = append(t.points, Point{Rows: 1, Line: row, From: time, To: time, Time: time, lines: lines})
	if len(t.points) >= mostPoints {
		t.thin()
	}
}

// watch keeps count of how far a reading lies from the line between its neighbours.
func (t *thinner) watch(time float64, values []float64) {
	t.before, t.between, t.latest = t.between, t.latest, t.before
	t.latest.time = time
	copy(t.latest.values, values)
	if t.seen++; t.seen < 3 {
		return
	}
	if span := t.latest.time - t.before.time; span > 0 {
		w := (t.between.time - t.before.time) / span
		scale := 1 + w*w + (1-w)*(1-w)
		for k := range t.scatter {
			d := t.between.values[k] - (1-w)*t.before.values[k] - w*t.latest.values[k]
			// A corner is no scatter: what stands out far counts as little as the rest.
			if t.counted > settled {
				most := outlier * t.scatter[k] / float64(t.counted)
				t.scatter[k] += max(min(d*d/scale, most), t.least(k))
				continue
			}
			t.scatter[k] += max(d*d/scale, t.least(k))
			t.first[k] = append(t.first[k], max(d*d/scale, t.least(k)))
		}
		if t.counted++; t.counted > settled && t.first != nil {
			t.settle()
		}
	}
}

// settle counts what stood out among the first rows as little as among all later ones, where
// the rest says what that is: a gauge that drops out spoils three neighbours.
func (t *thinner) settle() {
	for k, first := range t.first {
		slices.Sort(first)
		rest, sum := first[:len(first)-len(first)/5], 0.0
		for _, v := range rest {
			sum += v / float64(len(rest))
		}
		t.scatter[k] = 0
		for _, v := range first {
			t.scatter[k] += min(v, outlier*sum)
		}
	}
	t.first = nil
}

const (
	settled = 20 // rows before anything can be said to stand out
	outlier = 9  // variances that a reading may lie off
)

func (t *thinner) least(k int) float64 {
	r := t.columns[k].Kind.resolution()
	return r * r
}

// noise is the scatter of single readings of a column.
func (t *thinner) noise(k int) float64 {
	if t.counted == 0 {
		return math.Sqrt(t.least(k))
	}
	return math.Sqrt(t.scatter[k] / float64(t.counted))
}

// thin puts neighbours together until few enough are left.
func (t *thinner) thin() {
	most := longest * (t.points[len(t.points)-1].To - t.points[0].From)
	t.thinned = true
	for len(t.points) > keptPoints {
		if before := len(t.points); t.pairUp(most, math.Inf(1), keptPoints) == before {
			most = 2*most + math.SmallestNonzeroFloat64
		}
	}
}

// end returns the points when all rows are in.
func (t *thinner) end() []Point {
	if !t.thinned {
		return t.points
	}
	most := finest * (t.points[len(t.points)-1].To - t.points[0].From)
	for before := 0; before != len(t.points); {
		before = len(t.points)
		t.pairUp(most, straight, 1)
	}
	return t.points
}

// pairUp puts pairs of neighbours together that stand for no more than a time and cost
// no more than a cost, those first that lie on one line, and of these the shortest,
// until enough is left. It returns how many points are.
func (t *thinner) pairUp(most, dearest float64, enough int) int {
	type pair struct {
		first      int
		cost, time float64
	}
	n := len(t.points)
	into := make([]line, len(t.columns))
	var pairs []pair
	for i := range n - 1 {
		p, q := &t.points[i], &t.points[i+1]
		time := q.To - p.From
		if time > most {
			continue
		}
		both := p.merged(q, into)
		cost := straight
		for k := range t.columns {
			s := t.noise(k)
			cost = max(cost, (both.rest(k)-p.rest(k)-q.rest(k))/(s*s))
		}
		if cost <= dearest {
			pairs = append(pairs, pair{i, cost, time})
		}
	}
	slices.SortStableFunc(pairs, func(a, b pair) int {
		return cmp.Or(cmp.Compare(a.cost, b.cost), cmp.Compare(a.time, b.time))
	})
	taken := make([]bool, n) // belongs to a pair
	joins := make([]bool, n) // is put together with its successor
	left := n
	for _, p := range pairs {
		if left <= enough {
			break
		}
		if !taken[p.first] && !taken[p.first+1] {
			taken[p.first], taken[p.first+1], joins[p.first] = true, true, true
			left--
		}
	}
	kept := t.points[:0]
	for i := 0; i < n; i++ {
		p := t.points[i]
		if joins[i] {
			p = p.merged(&t.points[i+1], p.lines)
			i++
		}
		kept = append(kept, p)
	}
	clear(t.points[len(kept):])
	t.points = kept
	return left
}
