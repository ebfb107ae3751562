package chart

import (
	"math"

	"kneepoint/sim/answer"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

type xy struct{ x, y float64 }

// A curve is a polyline in the units printed, cut where a value is missing.
type curve struct {
	label  string
	role   answer.Role
	line   draw.LineStyle
	dots   bool
	pieces [][]xy
}

func (p *panel) addCurves() {
	used := map[answer.Role]int{}
	for _, src := range p.src.Curves {
		c := curve{label: printable(src.Label), role: src.Role, dots: src.Dots}
		c.line = roleLine(src.Role, used[src.Role])
		used[src.Role]++
		var piece []xy
		for i := range src.X {
			at := xy{p.x.of(src.X[i]), p.y.of(src.Y[i])}
			if canDraw(at.x) && canDraw(at.y) {
				piece = append(piece, at)
				continue
			}
			if len(piece) > 0 {
				c.pieces, piece = append(c.pieces, piece), nil
			}
		}
		if len(piece) > 0 {
			c.pieces = append(c.pieces, piece)
		}
		if len(c.pieces) > 0 {
			p.curves = append(p.curves, c)
		}
	}
}

// onCanvas are the curve's lines within the data canvas.
func (cv curve) onCanvas(p *panel, c draw.Canvas) [][]vg.Point {
	var lines [][]vg.Point
	for _, piece := range cv.pieces {
		pts := make([]vg.Point, len(piece))
		for i, at := range piece {
			pts[i] = p.to(&c, at.x, at.y)
		}
		if len(pts) > 1 {
			lines = append(lines, c.ClipLinesXY(thin(pts))...)
		}
	}
	return lines
}

// thin drops what the eye cannot see and a vector file would carry by the ten
// thousand: points closer than a fifth of a point to the last one kept, and, where
// many share a sliver of the width, all but its first, lowest, highest and last.
func thin(pts []vg.Point) []vg.Point {
	const near, sliver = 0.2, 0.5
	kept := pts[:1:1]
	for i := 1; i < len(pts); {
		end := i
		for end < len(pts) && pts[end].X >= pts[i].X && pts[end].X < pts[i].X+sliver &&
			(end == i || pts[end].X >= pts[end-1].X) {
			end++
		}
		if run := pts[i:end]; len(run) > 4 {
			kept = append(kept, ends(run)...)
			i = end
			continue
		}
		d := pts[i].Sub(kept[len(kept)-1])
		if i+1 == len(pts) || math.Abs(float64(d.X)) > near || math.Abs(float64(d.Y)) > near {
			kept = append(kept, pts[i])
		}
		i++
	}
	return kept
}

// ends are the first, the lowest, the highest and the last of some points, in their order.
func ends(run []vg.Point) []vg.Point {
	low, high := 0, 0
	for i, pt := range run {
		if pt.Y < run[low].Y {
			low = i
		}
		if pt.Y > run[high].Y {
			high = i
		}
	}
	var kept []vg.Point
	last := -1
	for _, i := range []int{0, min(low, high), max(low, high), len(run) - 1} {
		if i != last {
			kept, last = append(kept, run[i]), i
		}
	}
	return kept
}

// strokeLong strokes a line whose length may be many times the picture's width: in
// stretches, since the rasterizer's cost grows with the square of what lies in one
// row, and then without dashes, which nobody could tell apart.
func strokeLong(c draw.Canvas, style draw.LineStyle, line []vg.Point) {
	const stretch = 4000
	if pathLength(line) < 5*stretch {
		c.StrokeLines(style, line)
		return
	}
	style.Dashes, style.Width = nil, min(style.Width, 1)
	begin := 0
	var n float64
	for i := 1; i < len(line); i++ {
		if n += distance(line[i-1], line[i]); n > stretch || i+1 == len(line) {
			c.StrokeLines(style, line[begin:i+1])
			begin, n = i, 0
		}
	}
}

func (p *panel) drawCurves(c draw.Canvas) {
	// The result lies on top of what it is compared with.
	for _, back := range []bool{true, false} {
		for _, cv := range p.curves {
			if behind := cv.role == answer.Reference || cv.role == answer.Shadow; behind != back {
				continue
			}
			for _, line := range cv.onCanvas(p, c) {
				strokeLong(c, cv.line, line)
			}
			for _, piece := range cv.pieces {
				// A point on its own would have no line.
				if !cv.dots && len(piece) > 1 {
					continue
				}
				for _, at := range piece {
					c.DrawGlyph(dot(cv.role, cv.line), p.to(&c, at.x, at.y))
				}
			}
		}
	}
}

// dot is the marker of a role; the shape differs with the colour.
func dot(r answer.Role, line draw.LineStyle) draw.GlyphStyle {
	g := draw.GlyphStyle{Color: line.Color, Radius: 3.6}
	switch r {
	case answer.Second:
		g.Shape = draw.BoxGlyph{}
	case answer.Third:
		g.Shape = draw.PyramidGlyph{}
	default:
		g.Shape = draw.CircleGlyph{}
	}
	return g
}
