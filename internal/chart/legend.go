package chart

import (
	"image/color"

	"kneepoint/sim/answer"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// An entry is one line of the legend: a curve's, or a tint's where tint is set.
type entry struct {
	label string
	line  draw.LineStyle
	role  answer.Role
	dots  bool
	tint  color.Color
}

const (
	sampleWidth vg.Length = 34
	sampleGap   vg.Length = 7
	legendPad   vg.Length = 6
	columnGap   vg.Length = 18
)

func (p *panel) addEntries() {
	seen := map[string]bool{}
	for _, c := range p.curves {
		if c.label == "" || seen[c.label] {
			continue
		}
		seen[c.label] = true
		p.entries = append(p.entries, entry{label: c.label, line: c.line, role: c.role, dots: c.dots})
	}
	for _, s := range p.spans {
		if s.label == "" || !s.repeated || seen[s.label] {
			continue
		}
		seen[s.label] = true
		p.entries = append(p.entries, entry{label: printable(s.label), tint: s.tint})
	}
}

func entryWidth(e entry) vg.Length {
	return sampleWidth + sampleGap + face(labelSize).Width(e.label)
}

// legendSize is the legend as one column.
func (p *panel) legendSize() vg.Point {
	size := vg.Point{Y: vg.Length(len(p.entries)) * lineHeight(labelSize)}
	for _, e := range p.entries {
		size.X = max(size.X, entryWidth(e))
	}
	return size.Add(vg.Point{X: 2 * legendPad, Y: 2 * legendPad})
}

// flow sets the entries in rows no wider than width, and returns the place of
// each from the top left.
func (p *panel) flow(width vg.Length) (at []vg.Point, height vg.Length) {
	var x, y vg.Length
	for _, e := range p.entries {
		w := entryWidth(e)
		if x > 0 && x+w > width {
			x, y = 0, y+lineHeight(labelSize)
		}
		at = append(at, vg.Point{X: x, Y: y})
		x += w + columnGap
	}
	return at, y + lineHeight(labelSize)
}

// placeLegend looks for room inside the data area and keeps the legend above it
// when there is none; the area then has to be measured again, which it tells by
// returning false.
func (p *panel) placeLegend(c draw.Canvas, pl *placer) bool {
	if len(p.entries) == 0 || p.strip > 0 {
		return true
	}
	size := p.legendSize()
	room := pl.area.Size().Sub(size)
	if room.X >= 0 && room.Y >= 0 && len(p.entries) <= 6 && p.field == nil {
		var spots []spot
		const nx, ny = 12, 12
		for i := range nx + 1 {
			for j := range ny + 1 {
				at := vg.Point{
					X: pl.area.Min.X + room.X*vg.Length(i)/nx,
					Y: pl.area.Min.Y + room.Y*vg.Length(j)/ny,
				}
				// Corners are calmer than the middle.
				off := min(i, nx-i) + min(j, ny-j)
				spots = append(spots, spot{box: vg.Rectangle{Min: at, Max: at.Add(size)}, bias: 0.05 * float64(off)})
			}
		}
		if s, cost := pl.look(spots); cost < 2 {
			p.legend = &s.box
			pl.boxes = append(pl.boxes, s.box)
			return true
		}
	}
	_, height := p.flow(c.Size().X)
	p.strip = height + legendPad
	return false
}

func (p *panel) drawLegend(c draw.Canvas) {
	if len(p.entries) == 0 || p.empty() {
		return
	}
	if p.legend != nil {
		fillRect(c, paper, *p.legend)
		top := vg.Point{X: p.legend.Min.X + legendPad, Y: p.legend.Max.Y - legendPad}
		for i, e := range p.entries {
			drawEntry(c, e, top.Sub(vg.Point{Y: vg.Length(i) * lineHeight(labelSize)}))
		}
		return
	}
	at, _ := p.flow(c.Size().X)
	top := vg.Point{X: c.Min.X, Y: c.Max.Y + p.strip}
	for i, e := range p.entries {
		drawEntry(c, e, vg.Point{X: top.X + at[i].X, Y: top.Y - at[i].Y})
	}
}

// drawEntry draws an entry whose upper left corner is at.
func drawEntry(c draw.Canvas, e entry, at vg.Point) {
	lead := lineHeight(labelSize)
	mid := at.Y - lead/2
	if e.tint != nil {
		fillRect(c, e.tint, rect(at.X, mid-5, at.X+sampleWidth, mid+5))
	} else {
		c.StrokeLine2(e.line, at.X, mid, at.X+sampleWidth, mid)
		if e.dots {
			g := dot(e.role, e.line)
			c.SetColor(g.Color)
			g.Shape.DrawGlyph(&c, g, vg.Point{X: at.X + sampleWidth/2, Y: mid})
		}
	}
	x := at.X + sampleWidth + sampleGap
	drawLines(c, []string{e.label}, labelSize, ink, rect(x, at.Y-lead, x, at.Y), alignLeft)
}
