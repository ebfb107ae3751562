package answer

import "kneepoint/sim/si"

// A Figure is a picture as plain data: panels one under the other.
type Figure struct {
	// Name is short and safe in a file name, e.g. "curve".
	Name  string
	Title string
	// Panels share one horizontal range when SharedX is set.
	Panels  []Panel
	SharedX bool
	// Note is printed small below the picture.
	Note string
}

// PlanningNote ends the note of a figure, which may be shown without the report and
// its caution. Where the two stand together the note goes without it.
const PlanningNote = "An estimate for planning, not a safety approval."

// A Panel is one pair of axes. It holds curves, marks and levels, or bars, or a field.
type Panel struct {
	X, Y   Axis
	Curves []Curve
	Marks  []Mark
	Levels []Level
	Spans  []Span
	Bars   []Bar
	Field  *Field
}

// An Axis carries its label, without the unit, and the dimension from which the
// unit is printed and the values are converted.
type Axis struct {
	Label string
	Dim   si.Dimension
	// From and To fix the range where they differ; otherwise the data does.
	From, To float64
}

// A Role says what a curve is, so that every picture draws it alike.
type Role uint8

// The roles a curve or span can have.
const (
	Main      Role = iota // the result itself
	Second                // a second quantity of the same rank
	Third                 // and a third
	Reference             // a closed form, a limit, a comparison: thin and dashed
	Shadow                // the other branch of a loop, or one of many
)

// A Curve is a polyline; X and Y have the same length. Dots draws a marker at every point.
type Curve struct {
	Label string
	X, Y  []float64
	Role  Role
	Dots  bool
}

// A Mark is one labelled point.
type Mark struct {
	Label string
	X, Y  float64
}

// A Level is a labelled straight line across the panel: horizontal at Value, or
// vertical when Vertical is set.
type Level struct {
	Label    string
	Value    float64
	Vertical bool
}

// A Span shades a stretch of the horizontal axis, e.g. engine off.
type Span struct {
	Label    string
	From, To float64
}

// A Bar is one labelled value, with an optional band from Low to High (equal: none).
type Bar struct {
	Label string
	// Words stand in place of Label where it holds quantities; may be nil.
	Words     Phrase
	Value     float64
	Low, High float64
	Role      Role
}

// A Field is a quantity Z over a grid: Z[i][j] belongs to X[i], Y[j]. NaN is left blank.
type Field struct {
	Label string
	Dim   si.Dimension
	X, Y  []float64
	Z     [][]float64
	// Levels are the contour values; empty lets the picture choose.
	Levels []float64
}
