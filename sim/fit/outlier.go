package fit

import (
	"context"
	"math"
	"slices"

	"kneepoint/sim/si"
)

// An Outlier is a reading that was left out: the gauge dropped out, and came back.
type Outlier struct {
	Log, Gauge string
	Line, Rows int
	Time       float64 // by the log's clock, in s
	Value      float64 // in SI
	Dim        si.Dimension
	text       string
}

// The rule for a dropout. A reading is off if the best car misses it by more than offBy robust
// standard deviations of that gauge's misses: 1.4826 times their median size, which half of
// all readings cannot spoil (Hampel 1974, from memory), but no less than the gauge's own
// scatter. What is off is left out only if the gauge itself jumped there and jumped back, by
// jumps of the miss, and within few rows: a car that the model has wrong is missed smoothly.
// Where more than a tenth would go, none does.
const (
	offBy       = 6.0 // of 1e8 normal readings one
	toNormal    = 1.4826
	jumps       = 0.5
	longestRun  = 0.03 // of the rows, or
	shortestRun = 3
	mostLeft    = 0.1
)

// dropped says of all data which are no readings of what happened, by a car.
func (f *Fit) dropped(ctx context.Context, x, deviations []float64) ([]bool, error) {
	misses, err := f.missesOf(ctx, x)
	if err != nil {
		return nil, err
	}
	left := make([]bool, len(f.data))
	for c := range f.channels {
		f.dropouts(c, misses, deviations, left)
	}
	return left, nil
}

// dropouts marks those of one gauge.
func (f *Fit) dropouts(c int, misses, deviations []float64, left []bool) {
	var at []int // data of the gauge, in order
	var sizes []float64
	for i := range f.data {
		if f.data[i].channel == c {
			at = append(at, i)
			sizes = append(sizes, math.Abs(misses[i])/deviations[i])
		}
	}
	sorted := slices.Clone(sizes)
	slices.Sort(sorted)
	limit := offBy * max(1, toNormal*sorted[len(sorted)/2])
	n := len(at)
	most := max(shortestRun, int(longestRun*float64(n)))
	off := func(k int) bool { return sizes[k] > limit }
	// jumped says that the gauge went from one reading to the next what it is off by there.
	jumped := func(out, in int) bool {
		if in < 0 || in >= n {
			return true
		}
		jump, miss := f.logged(at[out])-f.logged(at[in]), -misses[at[out]]
		return jump*miss > 0 && math.Abs(jump) > jumps*math.Abs(miss)
	}
	var found []int
	for k := 0; k < n; k++ {
		if !off(k) {
			continue
		}
		end := k
		for end+1 < n && off(end+1) && misses[at[end+1]]*misses[at[k]] > 0 {
			end++
		}
		if end-k < most && end-k+1 < n && jumped(k, k-1) && jumped(end, end+1) {
			for i := k; i <= end; i++ {
				found = append(found, at[i])
			}
		}
		k = end
	}
	if float64(len(found)) > mostLeft*float64(n) {
		return
	}
	for _, i := range found {
		left[i] = true
	}
}

// outliers are all readings that were left out, those of the reader first.
func (f *Fit) outliers() []Outlier {
	var out []Outlier
	for _, d := range f.logs {
		for _, s := range d.log.Spikes {
			c := d.log.Columns[s.Column]
			out = append(out, Outlier{d.log.Name, c.Header, s.Line, 1, s.Time, s.Value, c.Kind.Dimension(), c.Show(s.Value)})
		}
	}
	for i, left := range f.left {
		if !left {
			continue
		}
		c, p := f.column(f.data[i].channel), f.pointOf(i)
		out = append(out, Outlier{f.drive(f.data[i].channel).log.Name, c.Header, p.Line, p.Rows, p.Time, f.logged(i), c.Kind.Dimension(), c.Show(f.logged(i))})
	}
	return out
}
