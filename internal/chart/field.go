package chart

import (
	"slices"
	"strings"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// A field is a grid in the units printed, with its contour levels ascending.
type field struct {
	title  string
	x, y   []float64
	z      [][]float64 // [i][j] at x[i], y[j]
	levels []float64
	step   float64
	least  float64
	most   float64
}

// newField converts a grid; nil where there is no cell to draw.
func newField(src *answer.Field, x, y scale, units si.System) *field {
	zs := newScale(answer.Axis{Label: src.Label, Dim: src.Dim}, units)
	f := &field{title: zs.title}
	for _, v := range src.X {
		f.x = append(f.x, x.of(v))
	}
	for _, v := range src.Y {
		f.y = append(f.y, y.of(v))
	}
	var e extent
	for _, row := range src.Z {
		converted := make([]float64, len(row))
		for j, v := range row {
			converted[j] = zs.of(v)
			e.add(converted[j])
		}
		f.z = append(f.z, converted)
	}
	if len(f.x) < 2 || len(f.y) < 2 || !e.any || !rising(f.x) || !rising(f.y) {
		return nil
	}
	f.least, f.most = e.lo, e.hi
	for _, v := range src.Levels {
		if l := zs.of(v); canDraw(l) {
			f.levels = append(f.levels, l)
		}
	}
	if len(f.levels) == 0 {
		f.levels, f.step = tickValues(e.opened().lo, e.opened().hi, 8)
	}
	slices.Sort(f.levels)
	f.levels = slices.Compact(f.levels)
	if f.step == 0 {
		f.step = 1e-3 * (f.levels[len(f.levels)-1] - f.levels[0])
		if len(f.levels) == 1 {
			f.step = tickStep(e.opened().hi-e.opened().lo, 100)
		}
	}
	return f
}

func rising(vs []float64) bool {
	for i, v := range vs {
		if !canDraw(v) || (i > 0 && !(v > vs[i-1])) {
			return false
		}
	}
	return true
}

// label prints a level without the zeros that its step would end it with: levels
// given need not be evenly spaced.
func (f *field) label(level float64) string {
	s := tickLabel(level, f.step)
	if strings.Contains(s, ".") && !strings.Contains(s, "e") {
		s = strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// bands is the number of colours: one below the first level, one above each.
func (f *field) bands() int { return len(f.levels) + 1 }

func (f *field) bandColor(band int) draw.LineStyle {
	return draw.LineStyle{Color: fieldColor(float64(band) / float64(f.bands()-1))}
}

func (f *field) draw(c draw.Canvas, p *panel) {
	lowest := f.least - 1
	if f.least-1 == f.least {
		lowest = f.least
	}
	for band := range f.bands() {
		level := lowest
		if band > 0 {
			level = f.levels[band-1]
		}
		var path vg.Path
		for _, polygon := range f.region(level) {
			pts := make([]vg.Point, len(polygon))
			for i, at := range polygon {
				pts[i] = p.to(&c, at.x, at.y)
			}
			for i, pt := range c.ClipPolygonXY(pts) {
				if i == 0 {
					path.Move(pt)
				} else {
					path.Line(pt)
				}
			}
			path.Close()
		}
		if len(path) == 0 {
			continue
		}
		// One path, so that neighbouring polygons leave no seam.
		c.SetColor(f.bandColor(band).Color)
		c.Fill(path)
	}
	for _, l := range f.levels {
		c.StrokeLines(draw.LineStyle{Color: ink, Width: 0.7}, f.onCanvas(c, p, l)...)
	}
}

func (f *field) onCanvas(c draw.Canvas, p *panel, level float64) [][]vg.Point {
	var lines [][]vg.Point
	for _, iso := range f.isolines(level) {
		pts := make([]vg.Point, len(iso))
		for i, at := range iso {
			pts[i] = p.to(&c, at.x, at.y)
		}
		lines = append(lines, c.ClipLinesXY(thin(pts))...)
	}
	return lines
}

// placeLabels writes each level's value on its longest line.
func (f *field) placeLabels(c draw.Canvas, p *panel, pl *placer) {
	for _, l := range f.levels {
		var longest []vg.Point
		var most float64
		for _, line := range f.onCanvas(c, p, l) {
			if n := pathLength(line); n > most {
				longest, most = line, n
			}
		}
		lines := []string{f.label(l)}
		size := textSize(lines, labelSize)
		if most < 2*float64(size.X) {
			continue
		}
		var spots []spot
		const parts = 24
		for k := 1; k < parts; k++ {
			at := along(longest, most*float64(k)/parts)
			off := k - parts/2
			spots = append(spots, spot{
				box:  rect(at.X-size.X/2, at.Y-size.Y/2, at.X+size.X/2, at.Y+size.Y/2),
				bias: 0.1 * float64(off*off) / parts,
			})
		}
		if s, fits := pl.take(spots); fits {
			p.write(placed{lines: lines, text: lines[0], box: s.box, color: ink, veil: true})
		}
	}
}

func pathLength(line []vg.Point) float64 {
	var n float64
	for i := 1; i < len(line); i++ {
		n += distance(line[i-1], line[i])
	}
	return n
}

// along is the point of the line at the given length from its begin.
func along(line []vg.Point, at float64) vg.Point {
	for i := 1; i < len(line); i++ {
		d := distance(line[i-1], line[i])
		if at <= d && d > 0 {
			return line[i-1].Add(line[i].Sub(line[i-1]).Scale(vg.Length(at / d)))
		}
		at -= d
	}
	return line[len(line)-1]
}

// Room on the right for the colour scale.
const (
	scaleGap   vg.Length = 16
	scaleWidth vg.Length = 16
)

// scaleRoom is the width that the colour scale takes beside the panel.
func (f *field) scaleRoom(height vg.Length) vg.Length {
	var widest vg.Length
	for _, l := range f.levels {
		widest = max(widest, face(tickSize).Width(f.label(l)))
	}
	n := len(f.titleLines(height))
	return scaleGap + scaleWidth + 6 + widest + 6 + vg.Length(n)*lineHeight(axisSize)
}

func (f *field) titleLines(height vg.Length) []string {
	return clamp(wrap(f.title, axisSize, 0.9*height), 2)
}

// drawScale draws the colour scale to the right of the data canvas.
func (f *field) drawScale(c draw.Canvas) {
	x := c.Max.X + scaleGap
	height := c.Size().Y
	part := height / vg.Length(f.bands())
	for band := range f.bands() {
		y := c.Min.Y + vg.Length(band)*part
		fillRect(c, f.bandColor(band).Color, rect(x, y, x+scaleWidth, y+part))
	}
	c.StrokeLines(draw.LineStyle{Color: axisInk, Width: 0.8}, []vg.Point{
		{X: x, Y: c.Min.Y}, {X: x + scaleWidth, Y: c.Min.Y}, {X: x + scaleWidth, Y: c.Max.Y},
		{X: x, Y: c.Max.Y}, {X: x, Y: c.Min.Y},
	})
	var widest vg.Length
	every := int(lineHeight(tickSize)/part) + 1
	for i, l := range f.levels {
		y := c.Min.Y + vg.Length(i+1)*part
		c.StrokeLine2(draw.LineStyle{Color: axisInk, Width: 0.8}, x, y, x+scaleWidth, y)
		s := f.label(l)
		widest = max(widest, face(tickSize).Width(s))
		if i%every == 0 {
			h := lineHeight(tickSize) / 2
			drawLines(c, []string{s}, tickSize, ink, rect(x+scaleWidth+6, y-h, x+scaleWidth+6, y+h), alignLeft)
		}
	}
	for i, line := range f.titleLines(height) {
		at := x + scaleWidth + 6 + widest + 6 + (vg.Length(i)+0.5)*lineHeight(axisSize)
		drawUpright(c, line, axisSize, ink, vg.Point{X: at, Y: (c.Min.Y + c.Max.Y) / 2})
	}
}
