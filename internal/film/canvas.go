package film

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

// A context2d records what the page's graphs draw on a canvas, with as much of the
// interface as they use. Its exported names are what scripts see, uncapitalised.
type context2d struct {
	LineWidth              float64
	LineJoin               string
	Font                   string
	TextAlign              string
	TextBaseline           string
	FillStyle, StrokeStyle string

	dash  []float64
	path  *outline
	saved []context2d
	marks []mark
}

func newContext2d() *context2d {
	return &context2d{
		LineWidth: 1, LineJoin: "miter", Font: "10px sans-serif", TextAlign: "start", TextBaseline: "alphabetic",
		FillStyle: "#000000", StrokeStyle: "#000000", path: &outline{},
	}
}

// SetTransform is for dense screens; the film has its own scale.
func (c *context2d) SetTransform(_, _, _, _, _, _ float64) {}

// ClearRect begins a new picture: nothing clears a part.
func (c *context2d) ClearRect(_, _, _, _ float64) { c.marks = nil }

func (c *context2d) Save() {
	kept := *c
	kept.saved, kept.marks = nil, nil
	c.saved = append(c.saved, kept)
}

func (c *context2d) Restore() {
	last := len(c.saved) - 1
	kept := c.saved[last]
	kept.saved, kept.marks, kept.path = c.saved[:last], c.marks, c.path
	*c = kept
}

func (c *context2d) SetLineDash(dash []float64) { c.dash = slices.Clone(dash) }

func (c *context2d) BeginPath()          { c.path = &outline{} }
func (c *context2d) MoveTo(x, y float64) { c.path.moveTo(point{x, y}) }
func (c *context2d) LineTo(x, y float64) { c.path.lineTo(point{x, y}) }

// Arc draws whole circles only.
func (c *context2d) Arc(x, y, r, from, to float64) {
	if to-from < 2*math.Pi {
		panic("canvas: a part of a circle is not drawn here")
	}
	c.path.ellipse(point{x, y}, r, r)
}

func (c *context2d) Fill()   { c.fill(c.path.sofar()) }
func (c *context2d) Stroke() { c.stroke(c.path.sofar()) }

func (c *context2d) FillRect(x, y, w, h float64)   { c.fill(rectangle(x, y, w, h, 0)) }
func (c *context2d) StrokeRect(x, y, w, h float64) { c.stroke(rectangle(x, y, w, h, 0)) }

func (c *context2d) FillText(text string, x, y float64)   { c.fill(c.letters(text, x, y)) }
func (c *context2d) StrokeText(text string, x, y float64) { c.stroke(c.letters(text, x, y)) }

func (c *context2d) fill(shape *outline) {
	if paint, ok := parseColour(c.FillStyle); ok {
		c.marks = append(c.marks, mark{shape: shape, fill: paint, filled: true})
	}
}

func (c *context2d) stroke(shape *outline) {
	if paint, ok := parseColour(c.StrokeStyle); ok {
		join := mitred
		if c.LineJoin == "round" {
			join = rounded
		}
		c.marks = append(c.marks, mark{shape: shape, pen: pen{colour: paint, width: c.LineWidth, join: join, dash: c.dash}})
	}
}

// letters places a text as align and baseline have it.
func (c *context2d) letters(text string, x, y float64) *outline {
	size, bold := parseFont(c.Font)
	word := lettering(text, size, bold)
	switch c.TextAlign {
	case "right", "end":
		x -= word.width
	case "center":
		x -= word.width / 2
	}
	switch c.TextBaseline {
	case "middle":
		y += middleOfLetters * size
	case "top":
		y += topOfLetters * size
	}
	return word.shape.moved(x, y)
}

// parseFont reads "600 14px system-ui, sans-serif".
func parseFont(text string) (size float64, bold bool) {
	size = 10
	for _, word := range strings.Fields(text) {
		if px, ok := strings.CutSuffix(word, "px"); ok {
			if v, err := strconv.ParseFloat(px, 64); err == nil {
				return v, bold
			}
		} else if weight, err := strconv.Atoi(word); err == nil {
			bold = weight >= boldFrom
		}
	}
	return size, bold
}
