package chart

import (
	"image/color"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// A span is a shaded stretch of the horizontal axis, in the units printed.
type span struct {
	label    string
	from, to float64
	tint     color.NRGBA
	repeated bool // another span has the same label: it stands in the legend
}

func (p *panel) addSpans() {
	count := map[string]int{}
	for _, src := range p.src.Spans {
		count[src.Label]++
	}
	tints := map[string]color.NRGBA{}
	for _, src := range p.src.Spans {
		s := span{
			label: src.Label, repeated: count[src.Label] > 1,
			from: p.x.of(src.From), to: p.x.of(src.To),
		}
		if !canDraw(s.from) || !canDraw(s.to) {
			continue
		}
		s.from, s.to = min(s.from, s.to), max(s.from, s.to)
		tint, ok := tints[src.Label]
		if !ok {
			tint = spanTints[len(tints)%len(spanTints)]
			tints[src.Label] = tint
		}
		s.tint = tint
		p.spans = append(p.spans, s)
	}
}

// spanBox is the shaded part within the axes, false where there is none.
func (p *panel) spanBox(c draw.Canvas, s span) (vg.Rectangle, bool) {
	x0 := max(c.X(p.plot.X.Norm(s.from)), c.Min.X)
	x1 := min(c.X(p.plot.X.Norm(s.to)), c.Max.X)
	return rect(x0, c.Min.Y, x1, c.Max.Y), x0 < x1
}

func (p *panel) drawSpans(c draw.Canvas) {
	for _, s := range p.spans {
		if box, ok := p.spanBox(c, s); ok {
			fillRect(c, s.tint, box)
		}
	}
}

func (p *panel) placeSpans(c draw.Canvas, pl *placer) {
	for _, s := range p.spans {
		box, ok := p.spanBox(c, s)
		if !ok || s.repeated {
			continue
		}
		width := max(box.Size().X-8, 90)
		lines := clamp(wrap(s.label, labelSize, width), 2)
		if len(lines) == 0 {
			continue
		}
		size := textSize(lines, labelSize)
		mid := (box.Min.X + box.Max.X) / 2
		left := min(max(mid-size.X/2, pl.area.Min.X), pl.area.Max.X-size.X)
		room := pl.area.Size().Y - size.Y
		var spots []spot
		for i := range 25 {
			at := vg.Point{X: left, Y: pl.area.Max.Y - size.Y - vg.Length(i)/24*room}
			spots = append(spots, spot{box: vg.Rectangle{Min: at, Max: at.Add(size)}, bias: 0.3 * float64(i)})
		}
		best, fits := pl.take(spots)
		if !fits {
			continue
		}
		p.write(placed{lines: lines, text: s.label, box: best.box, color: faintInk})
	}
}
