package report

import (
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// A Shown is an answer as texts in one system of units, for a page that lays them out
// itself: what Text prints, and its figures as numbers.
type Shown struct {
	Words   []string      `json:"words"`
	Tables  []ShownTable  `json:"tables"`
	Figures []ShownFigure `json:"figures"`
}

// A ShownTable is a table without those in detail. Left says of a column that it is words.
type ShownTable struct {
	Name string     `json:"name"`
	Head []string   `json:"head"`
	Left []bool     `json:"left"`
	Rows [][]string `json:"rows"`
}

// A ShownFigure has its curves in the units of its axes.
type ShownFigure struct {
	Title  string       `json:"title"`
	Note   string       `json:"note"`
	Panels []ShownPanel `json:"panels"`
}

// A ShownPanel is one pair of axes.
type ShownPanel struct {
	X      string       `json:"x"`
	Y      string       `json:"y"`
	Curves []ShownCurve `json:"curves"`
}

// A ShownCurve is a polyline, or its points alone.
type ShownCurve struct {
	Label string    `json:"label"`
	X     []float64 `json:"x"`
	Y     []float64 `json:"y"`
	Dots  bool      `json:"dots"`
}

// Show sets an answer in a system of units. Of its figures those made of curves are there.
func Show(ans answer.Answer, units si.System) (Shown, error) {
	out := Shown{Words: ans.Words(units), Tables: []ShownTable{}, Figures: []ShownFigure{}}
	for _, t := range ans.Tables() {
		if t.Detail {
			continue
		}
		shown, err := ShowTable(t, units)
		if err != nil {
			return out, err
		}
		out.Tables = append(out.Tables, shown)
	}
	for _, f := range ans.Figures() {
		shown := ShownFigure{Title: f.Title, Note: f.Note}
		for _, p := range f.Panels {
			if len(p.Curves) == 0 {
				continue
			}
			panel := ShownPanel{X: axisTitle(p.X, units), Y: axisTitle(p.Y, units)}
			for _, c := range p.Curves {
				panel.Curves = append(panel.Curves, ShownCurve{c.Label, scaled(c.X, p.X.Dim, units), scaled(c.Y, p.Y.Dim, units), c.Dots})
			}
			shown.Panels = append(shown.Panels, panel)
		}
		if len(shown.Panels) > 0 {
			out.Figures = append(out.Figures, shown)
		}
	}
	return out, nil
}

// ShowTable sets a table in a system of units.
func ShowTable(t answer.Table, units si.System) (ShownTable, error) {
	shown := ShownTable{Name: t.Name, Rows: make([][]string, len(t.Rows))}
	for i, c := range t.Columns {
		col, err := newColumn(t, i, c, units, false)
		if err != nil {
			return shown, err
		}
		shown.Head, shown.Left = append(shown.Head, col.head), append(shown.Left, col.left)
		for r := range shown.Rows {
			shown.Rows[r] = append(shown.Rows[r], col.cells[r])
		}
	}
	return shown, nil
}

func axisTitle(a answer.Axis, units si.System) string {
	if unit := a.Dim.Unit(units).Name; unit != "" {
		return a.Label + ", " + unit
	}
	return a.Label
}

func scaled(values []float64, d si.Dimension, units si.System) []float64 {
	out := make([]float64, len(values))
	for i, v := range values {
		out[i] = v / d.Unit(units).Scale
	}
	return out
}
