package chart

import "gonum.org/v1/plot/vg"

// A Layout says where the picture shows what. Lengths are in pixels for PNG and
// in points for SVG and PDF, from the top left corner, so that a point of the
// data can be found again in the picture.
type Layout struct {
	Width, Height float64
	// Panels are the data areas, in the order of the figure's panels.
	Panels []Box
	Marks  []MarkPlace
	// Texts are the boxes of all text laid over a data area.
	Texts []TextBox
}

// A Box is an upright rectangle; MinY is its upper edge.
type Box struct{ MinX, MinY, MaxX, MaxY float64 }

// A MarkPlace is where a mark of a panel was drawn.
type MarkPlace struct {
	// Panel and Index point into Figure.Panels and Panel.Marks.
	Panel, Index int
	// X and Y are the centre of the mark.
	X, Y float64
}

// A TextBox is the box that one piece of text fills.
type TextBox struct {
	Panel int
	Text  string
	Box   Box
}

// toPicture turns canvas coordinates, in points from the bottom left, into a
// Layout's.
type toPicture struct {
	height vg.Length
	scale  float64
}

func (t toPicture) point(p vg.Point) (x, y float64) {
	return float64(p.X) * t.scale, float64(t.height-p.Y) * t.scale
}

func (t toPicture) box(r vg.Rectangle) Box {
	x0, y1 := t.point(r.Min)
	x1, y0 := t.point(r.Max)
	return Box{MinX: x0, MinY: y0, MaxX: x1, MaxY: y1}
}
