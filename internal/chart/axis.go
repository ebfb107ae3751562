package chart

import (
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/plot"
)

// drawable is the largest magnitude a picture shows; anything beyond, and NaN,
// leaves a gap. It keeps spans and products of two values finite.
const drawable = 1e120

func canDraw(v float64) bool { return math.Abs(v) <= drawable }

// extent grows over the values that can be drawn.
type extent struct {
	lo, hi float64
	any    bool
}

func (e *extent) add(vs ...float64) {
	for _, v := range vs {
		if !canDraw(v) {
			continue
		}
		if !e.any {
			e.lo, e.hi, e.any = v, v, true
			continue
		}
		e.lo, e.hi = min(e.lo, v), max(e.hi, v)
	}
}

// opened is the extent made wide enough to be an axis: a single value gets room
// on both sides, and no range is narrower than a millionth of its values, where
// rounding would be drawn as a signal.
func (e extent) opened() extent {
	if !e.any {
		return extent{lo: 0, hi: 1, any: true}
	}
	size := max(math.Abs(e.lo), math.Abs(e.hi))
	if size < 1e-100 {
		return extent{lo: 0, hi: 1, any: true}
	}
	if e.hi-e.lo > 1e-6*size {
		return e
	}
	mid := e.lo + (e.hi-e.lo)/2
	return extent{lo: mid - 0.5*size, hi: mid + 0.5*size, any: true}
}

// rounded puts the ends on ticks, with a little headroom, and starts at zero when
// zero is near: a force or a vacuum is read from nothing.
func (e extent) rounded(want int) extent {
	if e.lo > 0 && e.lo < 0.45*e.hi {
		e.lo = 0
	}
	if e.hi < 0 && e.hi > 0.45*e.lo {
		e.hi = 0
	}
	room := 0.03 * (e.hi - e.lo)
	if e.lo != 0 {
		e.lo -= room
	}
	if e.hi != 0 {
		e.hi += room
	}
	step := tickStep(e.hi-e.lo, want)
	e.lo = math.Floor(e.lo/step+1e-9) * step
	e.hi = math.Ceil(e.hi/step-1e-9) * step
	return e
}

// snapped moves an end to a tick that lies just outside, so that an axis to 59.98 ends
// with its 60.
func (e extent) snapped(want int) extent {
	span := e.hi - e.lo
	step := tickStep(span, want)
	if lo := math.Floor(e.lo/step+1e-9) * step; e.lo-lo < 0.02*span {
		e.lo = lo
	}
	if hi := math.Ceil(e.hi/step-1e-9) * step; hi-e.hi < 0.02*span {
		e.hi = hi
	}
	return e
}

// tickStep is the least of 1, 2, 2.5, 5 times a power of ten that cuts span into
// no more than want parts.
func tickStep(span float64, want int) float64 {
	raw := span / float64(max(want, 1))
	mag := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, m := range []float64{1, 2, 2.5, 5} {
		if m*mag >= raw*(1-1e-9) {
			return m * mag
		}
	}
	return 10 * mag
}

// tickValues are the multiples of the step within lo..hi.
func tickValues(lo, hi float64, want int) (values []float64, step float64) {
	step = tickStep(hi-lo, want)
	first, last := math.Ceil(lo/step-1e-9), math.Floor(hi/step+1e-9)
	for k := first; k <= last && len(values) <= 4*want; k++ {
		values = append(values, k*step+0) // + 0 turns -0 into 0
	}
	return values, step
}

// tickLabel prints v, a multiple of step, to the step's decimals.
func tickLabel(v, step float64) string {
	var s string
	size := math.Abs(v)
	if (size != 0 && size < 1e-4) || size >= 1e7 {
		s = strconv.FormatFloat(v, 'g', 6, 64)
	} else {
		s = strconv.FormatFloat(v, 'f', decimals(step), 64)
	}
	return strings.Replace(s, "-", "−", 1)
}

// decimals is how many a multiple of step needs.
func decimals(step float64) int {
	for d := range 9 {
		scaled := step * math.Pow10(d)
		if math.Abs(scaled-math.Round(scaled)) < 1e-6*scaled {
			return d
		}
	}
	return 9
}

// labelled is a plot.Ticker with about want labels; bare leaves the labels out,
// for panels whose axis is read at the panel below.
type labelled struct {
	want int
	bare bool
}

// Ticks implements plot.Ticker.
func (t labelled) Ticks(lo, hi float64) []plot.Tick {
	values, step := tickValues(lo, hi, t.want)
	ticks := make([]plot.Tick, len(values))
	for i, v := range values {
		ticks[i].Value = v
		if !t.bare {
			ticks[i].Label = tickLabel(v, step)
		}
	}
	return ticks
}
