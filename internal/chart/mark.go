package chart

import (
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

const markRadius vg.Length = 4.6

// A mark is a labelled point in the units printed.
type mark struct {
	index int
	label string
	x, y  float64
}

func (p *panel) addMarks() {
	for i, src := range p.src.Marks {
		m := mark{index: i, label: src.Label, x: p.x.of(src.X), y: p.y.of(src.Y)}
		if canDraw(m.x) && canDraw(m.y) {
			p.marks = append(p.marks, m)
		}
	}
}

// visible tells whether a mark lies within the axes, whose range may be fixed.
func (p *panel) visible(c draw.Canvas, m mark) (vg.Point, bool) {
	at := p.to(&c, m.x, m.y)
	return at, c.Contains(at)
}

func (p *panel) placeMarks(c draw.Canvas, pl *placer) {
	for _, m := range p.marks {
		if at, ok := p.visible(c, m); ok {
			r := markRadius + 2
			pl.boxes = append(pl.boxes, rect(at.X-r, at.Y-r, at.X+r, at.Y+r))
		}
	}
	width := min(180, 0.45*pl.area.Size().X)
	for _, m := range p.marks {
		at, ok := p.visible(c, m)
		lines := clamp(wrap(m.label, labelSize, width), 3)
		if !ok || len(lines) == 0 {
			continue
		}
		s, fits := pl.take(around(at, textSize(lines, labelSize), pl.area))
		if !fits {
			continue
		}
		p.write(placed{lines: lines, text: m.label, box: s.box, color: ink, veil: true})
		if len(s.leader) == 2 {
			p.leaders = append(p.leaders, s.leader)
			pl.lines = append(pl.lines, s.leader)
		}
	}
}

func (p *panel) drawMarks(c draw.Canvas) {
	for _, m := range p.marks {
		at, ok := p.visible(c, m)
		if !ok {
			continue
		}
		c.DrawGlyph(draw.GlyphStyle{Color: paper, Radius: markRadius + 1.4, Shape: draw.CircleGlyph{}}, at)
		c.DrawGlyph(draw.GlyphStyle{Color: MarkColor, Radius: markRadius, Shape: draw.CircleGlyph{}}, at)
	}
}
