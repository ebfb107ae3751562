package film

import (
	"fmt"
	"image/color"
	"strconv"
	"strings"
)

// A mark is one thing to paint: an outline, filled, drawn along with a pen, or both.
// With group set it only opens a group of marks to be painted together, thinly.
type mark struct {
	shape  *outline
	at     matrix
	filled bool
	fill   color.RGBA
	pen    pen
	clip   *clip
	group  *group
}

// A clip lets marks through within an outline only.
type clip struct {
	shape *outline
	at    matrix
}

// A group covers the marks that follow, as many as it says.
type group struct {
	marks   int
	opacity float64
}

// joins of a pen's pieces.
type join byte

const (
	mitred join = iota
	rounded
)

// A pen draws along an outline; without width it does not.
type pen struct {
	colour   color.RGBA
	width    float64
	join     join
	roundEnd bool
	dash     []float64
}

// style is what an element looks like.
type style struct {
	fill, stroke       string
	width              float64
	join, end          string
	dash               string
	size               float64
	heavy              bool
	anchor, visibility string
	display            string
	opacity            float64
}

func firstStyle() style {
	return style{fill: "#000000", stroke: "none", width: 1, size: 16, opacity: 1}
}

// take applies one property. Those that no picture has are not looked at.
func (s *style) take(property, value string) {
	size := func(to *float64) {
		if v, err := strconv.ParseFloat(strings.TrimSuffix(value, "px"), 64); err == nil {
			*to = v
		}
	}
	switch property {
	case "fill":
		s.fill = value
	case "stroke":
		s.stroke = value
	case "stroke-width":
		size(&s.width)
	case "stroke-linejoin":
		s.join = value
	case "stroke-linecap":
		s.end = value
	case "stroke-dasharray":
		s.dash = value
	case "font-size":
		size(&s.size)
	case "font-weight":
		weight, err := strconv.Atoi(value)
		s.heavy = err == nil && weight >= boldFrom || value == "bold"
	case "text-anchor":
		s.anchor = value
	case "visibility":
		s.visibility = value
	case "display":
		s.display = value
	case "opacity":
		size(&s.opacity)
	}
}

// A shooter takes pictures of a tree of elements.
type shooter struct {
	sheet *stylesheet
	clips map[string]*clip
	marks []mark
	chain []*node
	err   error
}

// shoot returns the marks of the tree as it stands; nothing in them changes after.
func shoot(root *node, sheet *stylesheet, scale float64) ([]mark, error) {
	s := &shooter{sheet: sheet, clips: map[string]*clip{}}
	s.element(root, firstStyle(), scaling(scale), nil)
	return s.marks, s.err
}

// styleOf is an element's style under that of the one above it.
func (s *shooter) styleOf(n *node, above style) style {
	out := above
	out.opacity, out.display = 1, ""
	for property, value := range n.attributes {
		out.take(property, s.sheet.resolve(value))
	}
	by := strings.Join(n.ClassList.names, " ")
	if n.ruled == nil || n.ruledBy != by {
		n.ruled, n.ruledBy = s.sheet.declarations(s.chain), by
		for i := range n.ruled {
			n.ruled[i].value = s.sheet.resolve(n.ruled[i].value)
		}
	}
	for _, d := range n.ruled {
		out.take(d.property, d.value)
	}
	return out
}

func (s *shooter) element(n *node, above style, at matrix, within *clip) {
	s.chain = append(s.chain, n)
	defer func() { s.chain = s.chain[:len(s.chain)-1] }()
	look := s.styleOf(n, above)
	if look.display == "none" || s.err != nil {
		return
	}
	if text := n.attributes["transform"]; text != "" {
		m, err := kept(n, "transform", parseTransform)
		s.failed(err)
		at = at.times(m)
	}
	if n.name == "clipPath" {
		if len(n.children) == 1 {
			s.clips[n.attributes["id"]] = &clip{s.shape(n.children[0], look), at}
		}
		return
	}
	if url := n.attributes["clip-path"]; url != "" {
		id := strings.TrimSuffix(strings.TrimPrefix(url, "url(#"), ")")
		within = s.clips[id]
		if within == nil {
			s.failed(fmt.Errorf("clip-path %q comes before what it names", url))
		}
	}
	opened := -1
	if look.opacity < 1 {
		opened = len(s.marks)
		s.marks = append(s.marks, mark{group: &group{opacity: look.opacity}})
	}
	switch n.name {
	case "title", "desc":
	case "canvas":
		for _, m := range n.context.marks {
			m.at, m.clip = at, within
			s.marks = append(s.marks, m)
		}
	default:
		s.mark(n, look, at, within)
	}
	for _, c := range n.children {
		s.element(c, look, at, within)
	}
	if opened >= 0 {
		s.marks[opened].group.marks = len(s.marks) - opened - 1
	}
}

func (s *shooter) failed(err error) {
	if s.err == nil {
		s.err = err
	}
}

// mark adds what an element itself shows.
func (s *shooter) mark(n *node, look style, at matrix, within *clip) {
	if look.visibility == "hidden" {
		return
	}
	shape := s.shape(n, look)
	if shape == nil || len(shape.segments) == 0 {
		return
	}
	m := mark{shape: shape, at: at, clip: within}
	m.fill, m.filled = parseColour(look.fill)
	if c, ok := parseColour(look.stroke); ok && look.width > 0 {
		m.pen = pen{colour: c, width: look.width, roundEnd: look.end == "round"}
		if look.join == "round" {
			m.pen.join = rounded
		}
		if look.dash != "" && look.dash != "none" {
			dash, err := parseNumbers(look.dash)
			s.failed(err)
			m.pen.dash = dash
		}
	}
	if m.filled || m.pen.width > 0 {
		s.marks = append(s.marks, m)
	}
}

// shape is an element's outline, nil for one that has none. While an element stays the
// same so does its outline, by which painters know it.
func (s *shooter) shape(n *node, look style) *outline {
	switch n.name {
	case "path":
		o, err := kept(n, "d", parsePath)
		s.failed(err)
		return o
	case "rect", "circle":
		return n.outlined(shapeOf{name: n.name,
			x: n.number("x") + n.number("cx"), y: n.number("y") + n.number("cy"),
			w: n.number("width"), h: n.number("height"), r: n.number("rx") + n.number("r")})
	case "text":
		return n.outlined(shapeOf{name: n.name, x: n.number("x"), y: n.number("y"),
			text: n.TextContent, size: look.size, heavy: look.heavy, anchor: look.anchor})
	case "g", "svg":
		return nil
	}
	s.failed(fmt.Errorf("element %q is not drawn here", n.name))
	return nil
}

// A shapeOf is all that the outline of an element other than a path hangs on.
type shapeOf struct {
	name          string
	x, y, w, h, r float64
	text, anchor  string
	size          float64
	heavy         bool
}

func (of shapeOf) outline() *outline {
	switch of.name {
	case "rect":
		return rectangle(of.x, of.y, of.w, of.h, of.r)
	case "circle":
		o := &outline{}
		o.ellipse(point{of.x, of.y}, of.r, of.r)
		return o
	}
	w := lettering(of.text, of.size, of.heavy)
	x := of.x
	switch of.anchor {
	case "middle":
		x -= w.width / 2
	case "end":
		x -= w.width
	}
	return w.shape.moved(x, of.y)
}

// outlined is the outline of what the element is now.
func (n *node) outlined(of shapeOf) *outline {
	if n.shaped == nil || n.shapedOf != of {
		n.shaped, n.shapedOf = of.outline(), of
	}
	return n.shaped
}

// number is an attribute's value, 0 for none.
func (n *node) number(name string) float64 {
	v, err := strconv.ParseFloat(n.attributes[name], 64)
	if err != nil {
		return 0
	}
	return v
}

// kept parses an attribute once for as long as it stays the same.
func kept[T any](n *node, name string, parse func(string) (T, error)) (T, error) {
	if have, ok := n.parsed[name]; ok {
		return have.(T), nil
	}
	v, err := parse(n.attributes[name])
	if err == nil {
		n.parsed[name] = v
	}
	return v, err
}
