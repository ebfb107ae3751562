package report

import (
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// stub is an answer as a study gives it, with figures chosen to be easy to convert.
type stub struct {
	words  []string
	tables []answer.Table
	doc    any
}

func (s stub) Words(si.System) []string { return s.words }
func (s stub) Tables() []answer.Table   { return s.tables }
func (stub) Figures() []answer.Figure   { return nil }
func (s stub) Document() any            { return s.doc }

// stops has one column of every kind of cell. 44.482216152605 N is 10 lbf and
// 6894757.293168361 Pa is 1000 psi by the definition of the pound.
func stops() answer.Table {
	return answer.Table{
		Name: "Stop after stop",
		Columns: []answer.Column{
			{Key: "stop", Title: "Stop"},
			{Key: "vacuum_before", Title: "Vacuum before", Dim: si.DimVacuum},
			{Key: "needed_pedal", Title: "Needed pedal", Dim: si.DimForce},
			{Key: "line", Title: "Line pressure", Dim: si.DimPressure},
			{Key: "assisted", Title: "Assisted"},
			{Key: "why", Title: "Why"},
		},
		Rows: [][]answer.Cell{
			{1, 20 * si.InchOfMercury, 44.482216152605, 6894757.293168361, true, "within the limit"},
			{2, 9.9 * si.InchOfMercury, nil, 3.456e6, false, `out of reach, "hard" pedal`},
		},
	}
}
