package chart

import (
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// A level is a straight line across the panel, in the units printed.
type level struct {
	label    string
	value    float64
	vertical bool
}

func (p *panel) addLevels() {
	for _, src := range p.src.Levels {
		l := level{label: src.Label, vertical: src.Vertical, value: p.y.of(src.Value)}
		if src.Vertical {
			l.value = p.x.of(src.Value)
		}
		if canDraw(l.value) {
			p.levels = append(p.levels, l)
		}
	}
}

// levelLine is the line on the canvas, nil where it lies outside the axes.
func (p *panel) levelLine(c draw.Canvas, l level) []vg.Point {
	if l.vertical {
		x := c.X(p.plot.X.Norm(l.value))
		if !c.ContainsX(x) {
			return nil
		}
		return []vg.Point{{X: x, Y: c.Min.Y}, {X: x, Y: c.Max.Y}}
	}
	if p.hasBars() {
		return nil
	}
	y := c.Y(p.plot.Y.Norm(l.value))
	if !c.ContainsY(y) {
		return nil
	}
	return []vg.Point{{X: c.Min.X, Y: y}, {X: c.Max.X, Y: y}}
}

func (p *panel) drawLevels(c draw.Canvas) {
	style := draw.LineStyle{Color: levelInk, Width: 1.1, Dashes: []vg.Length{5, 3, 1, 3}}
	for _, l := range p.levels {
		if line := p.levelLine(c, l); line != nil {
			c.StrokeLines(style, line)
		}
	}
}

func (p *panel) placeLevels(c draw.Canvas, pl *placer) {
	const gap = 4
	for _, l := range p.levels {
		line := p.levelLine(c, l)
		lines := clamp(wrap(l.label, labelSize, 0.6*pl.area.Size().X), 2)
		if line == nil || len(lines) == 0 {
			continue
		}
		size := textSize(lines, labelSize)
		room := pl.area.Size().Sub(size)
		var spots []spot
		for i := range 21 {
			// Along the line from the far end, on either side of it.
			share := 1 - vg.Length(i)/20
			for side := range 2 {
				at := vg.Point{X: pl.area.Min.X + share*room.X, Y: line[0].Y + gap}
				if side == 1 {
					at.Y = line[0].Y - gap - size.Y
				}
				if l.vertical {
					at = vg.Point{X: line[0].X + gap, Y: pl.area.Min.Y + share*room.Y}
					if side == 1 {
						at.X = line[0].X - gap - size.X
					}
				}
				spots = append(spots, spot{
					box:  vg.Rectangle{Min: at, Max: at.Add(size)},
					bias: 0.2*float64(i) + 0.1*float64(side),
				})
			}
		}
		s, fits := pl.take(spots)
		if !fits {
			continue
		}
		p.write(placed{lines: lines, text: l.label, box: s.box, color: levelInk, veil: true})
	}
}
