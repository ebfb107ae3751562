package study

import (
	"fmt"
	"math"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// Words say between which values the measure lies, and where.
func (r *SweepResult) Words(u si.System) []string {
	low, high := -1, -1
	for i, v := range r.Values {
		if math.IsNaN(v) {
			continue
		}
		if low < 0 || v < r.Values[low] {
			low = i
		}
		if high < 0 || v > r.Values[high] {
			high = i
		}
	}
	var words []string
	switch {
	case low < 0:
		words = append(words, fmt.Sprintf("No point has a value of %s.", r.Measure.Title))
	case r.Values[low] == r.Values[high]:
		words = append(words, fmt.Sprintf("The %s: %s everywhere.", r.Measure.Title, r.text(low, u)))
	default:
		words = append(words, fmt.Sprintf("The %s: from %s at %s to %s at %s.", r.Measure.Title,
			r.text(low, u), r.place(low, u), r.text(high, u), r.place(high, u)))
	}
	if r.Impossible > 0 {
		words = append(words, fmt.Sprintf("%d of %d points cannot be built and are left blank.", r.Impossible, len(r.Values)))
	}
	if r.Unfinished > 0 {
		words = append(words, fmt.Sprintf("Stopped before the end: %d of %d points are missing.", r.Unfinished, len(r.Values)))
	}
	return words
}

// text prints the value at a point.
func (r *SweepResult) text(i int, u si.System) string {
	v := r.Values[i]
	switch {
	case r.capped(i):
		return fmt.Sprintf("at least %g", v)
	case r.Measure.Dim == si.DimNone:
		return fmt.Sprintf("%g", v)
	}
	return si.Format(r.Measure.Dim, v, u)
}

func (r *SweepResult) capped(i int) bool { return r.Capped != nil && r.Capped[i] }

// label is the measure's title for a picture, with the value that is a lower bound.
func (r *SweepResult) label() string {
	bound := ""
	for i, v := range r.Values {
		if !r.capped(i) {
			continue
		}
		switch this := fmt.Sprintf(" (%g: at least)", v); bound {
		case "", this:
			bound = this
		default: // over reserve.stops itself
			bound = " (where none failed: at least)"
		}
	}
	return r.Measure.Title + bound
}

func (r *SweepResult) place(i int, u si.System) string {
	text := ""
	for k, v := range r.at(i) {
		if k > 0 {
			text += " and "
		}
		text += fmt.Sprintf("%s %s", r.Axes[k].Path, si.FormatFine(r.Axes[k].Dim, v, u))
	}
	return text
}

// Tables has one row a point.
func (r *SweepResult) Tables() []answer.Table {
	t := answer.Table{Name: "map"}
	for _, a := range r.Axes {
		t.Columns = append(t.Columns, answer.Column{Key: answer.Key(a.Path), Title: a.Path, Dim: a.Dim})
	}
	t.Columns = append(t.Columns, answer.Column{Key: r.Measure.Name, Title: r.Measure.Title, Dim: r.Measure.Dim})
	if r.Capped != nil {
		t.Columns = append(t.Columns, answer.Column{Key: "capped", Title: "or more"})
	}
	for i, v := range r.Values {
		var row []answer.Cell
		for _, x := range r.at(i) {
			row = append(row, x)
		}
		row = append(row, answer.Of(v).Cell())
		if r.Capped != nil {
			row = append(row, r.Capped[i])
		}
		t.Rows = append(t.Rows, row)
	}
	return []answer.Table{t}
}

// Figures is a line over one quantity, or a contour map over two.
func (r *SweepResult) Figures() []answer.Figure {
	axis := func(a SweepAxis) answer.Axis { return answer.Axis{Label: a.Path, Dim: a.Dim} }
	p := answer.Panel{X: axis(r.Axes[0]), Y: answer.Axis{Label: r.label(), Dim: r.Measure.Dim}}
	if len(r.Axes) == 1 {
		p.Curves = []answer.Curve{{X: r.Axes[0].Values, Y: r.Values, Role: answer.Main, Dots: true}}
	} else {
		p.Y = axis(r.Axes[1])
		n := len(r.Axes[1].Values)
		f := &answer.Field{Label: r.label(), Dim: r.Measure.Dim, X: r.Axes[0].Values, Y: r.Axes[1].Values}
		for i := range r.Axes[0].Values {
			f.Z = append(f.Z, r.Values[i*n:(i+1)*n])
		}
		if r.Measure.Dim == si.DimNone {
			f.Levels = between(r.Values)
		}
		p.Field = f
	}
	return []answer.Figure{{Name: "sweep", Title: answer.Titled("Map of "+r.Measure.Title, r.title), Panels: []answer.Panel{p},
		Note: "Simulated. " + planningNote}}
}

// mostLevels bounds the contours of a count.
const mostLevels = 12

// between returns the contours of a count, halfway between whole numbers, so
// that each band is one of them.
func between(values []float64) []float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range values {
		if !math.IsNaN(v) {
			low, high = min(low, v), max(high, v)
		}
	}
	var levels []float64
	for v := low + 0.5; v < high && high-low <= mostLevels; v++ {
		levels = append(levels, v)
	}
	return levels
}

type sweepPoint map[string]any

// Document has the points in the order of the table, with the table's keys.
func (r *SweepResult) Document() any {
	points := make([]sweepPoint, len(r.Values))
	for i, v := range r.Values {
		p := sweepPoint{r.Measure.Name + r.Measure.Dim.Unit(si.SI).KeySuffix: answer.Of(v)}
		for k, x := range r.at(i) {
			p[answer.Key(r.Axes[k].Path)+r.Axes[k].Dim.Unit(si.SI).KeySuffix] = answer.Of(x)
		}
		if r.Capped != nil {
			p["capped"] = r.Capped[i]
		}
		points[i] = p
	}
	return struct {
		Measure string       `json:"measure"`
		Points  []sweepPoint `json:"points"`
	}{r.Measure.Name, points}
}

var _ answer.Answer = (*SweepResult)(nil)
