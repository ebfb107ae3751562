package study

import (
	"math"

	"kneepoint/internal/portable"
	"kneepoint/sim"
)

// straight is a line of output force over input force.
type straight struct{ offset, slope float64 }

func (l straight) at(input float64) float64 { return l.offset + l.slope*input }

// crossing returns the input at which two lines meet.
func (l straight) crossing(o straight) float64 { return (o.offset - l.offset) / (l.slope - o.slope) }

// fit returns the least squares line through the states with an input from low
// to high; there must be at least three.
func fit(states []sim.State, low, high float64) (straight, bool) {
	var x, y []float64
	for _, s := range states {
		if f := float64(s.Input); f >= low && f <= high {
			x = append(x, f)
			y = append(y, float64(s.Output))
		}
	}
	if len(x) < 3 {
		return straight{}, false
	}
	a, b := portable.Line(x, y)
	return straight{a, b}, !math.IsNaN(b)
}

// where returns the value of one quantity at which another, rising along the
// states, first reaches a level; NaN if it never does.
func where(states []sim.State, rising, wanted func(sim.State) float64, level float64) float64 {
	for i, s := range states {
		if rising(s) < level {
			continue
		}
		if i == 0 {
			return wanted(s)
		}
		a, b := rising(states[i-1]), rising(s)
		k := (level - a) / (b - a)
		return wanted(states[i-1]) + k*(wanted(s)-wanted(states[i-1]))
	}
	return math.NaN()
}

func inputOf(s sim.State) float64  { return float64(s.Input) }
func outputOf(s sim.State) float64 { return float64(s.Output) }
func lineOf(s sim.State) float64   { return float64(s.Line) }
func frontOf(s sim.State) float64  { return float64(s.LineFront) }
func pedalOf(s sim.State) float64  { return float64(s.Pedal) }
