package chart

import (
	"strings"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// A scale turns SI values of one axis into the unit printed at it.
type scale struct {
	dim   si.Dimension
	unit  si.Unit
	title string
	// from and to fix the range where they differ.
	from, to float64
}

func newScale(a answer.Axis, units si.System) scale {
	s := scale{dim: a.Dim, unit: a.Dim.Unit(units), title: printable(a.Label)}
	if s.unit.Name != "" {
		s.title = strings.TrimSpace(s.title + " (" + s.unit.Name + ")")
	}
	if a.From != a.To {
		s.from, s.to = s.of(a.From), s.of(a.To)
	}
	return s
}

func (s scale) of(v float64) float64 { return s.unit.Of(v) }

// print writes a value with its unit, as a gauge shows it.
func (s scale) print(v float64, units si.System) string {
	return strings.Replace(si.Format(s.dim, v, units), "-", "−", 1)
}

// fixed is the axis's own range where it has one.
func (s scale) fixed(e extent) extent {
	if s.from == s.to || !canDraw(s.from) || !canDraw(s.to) {
		return e
	}
	return extent{lo: min(s.from, s.to), hi: max(s.from, s.to), any: true}.opened()
}

// joined makes one text of at most n lines.
func joined(lines []string, n int) string { return strings.Join(clamp(lines, n), "\n") }
