package chart

import (
	"image/color"
	"slices"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// A panel is one pair of axes on its way onto the canvas: values in the units
// printed, ranges settled, and, once it has been arranged, every text in its place.
type panel struct {
	src    answer.Panel
	index  int
	x, y   scale
	curves []curve
	marks  []mark
	levels []level
	spans  []span
	bars   []bar
	field  *field
	plot   *plot.Plot

	entries []entry
	strip   vg.Length // room kept above the data for the legend
	legend  *vg.Rectangle
	texts   []placed
	leaders [][]vg.Point
}

// placed is text with its place on the canvas.
type placed struct {
	lines []string
	text  string
	box   vg.Rectangle
	color color.NRGBA
	veil  bool // keeps what lies below from showing between the letters
}

// newPanel converts a panel's values; ranges and the plot are settled by frame.
func newPanel(index int, src answer.Panel, units si.System) *panel {
	p := &panel{src: src, index: index, x: newScale(src.X, units), y: newScale(src.Y, units)}
	p.addCurves()
	p.addMarks()
	p.addLevels()
	p.addSpans()
	p.addBars(units)
	if src.Field != nil {
		p.field = newField(src.Field, p.x, p.y, units)
	}
	p.addEntries()
	return p
}

func (p *panel) hasBars() bool { return len(p.bars) > 0 }

func (p *panel) dotted() bool {
	return slices.ContainsFunc(p.curves, func(c curve) bool { return c.dots })
}

func (p *panel) empty() bool {
	return len(p.curves) == 0 && len(p.marks) == 0 && len(p.bars) == 0 && p.field == nil
}

// dataX is the horizontal extent of what the panel shows.
func (p *panel) dataX() extent {
	e := p.data(func(at xy) float64 { return at.x }, true)
	if p.field != nil {
		e.add(p.field.x...)
	}
	if !e.any {
		for _, s := range p.spans {
			e.add(s.from, s.to)
		}
	}
	return e
}

func (p *panel) dataY() extent {
	e := p.data(func(at xy) float64 { return at.y }, false)
	if p.field != nil {
		e.add(p.field.y...)
	}
	return e
}

// data is the extent, along one axis, of curves and marks and of the levels across it.
func (p *panel) data(along func(xy) float64, vertical bool) extent {
	var e extent
	for _, c := range p.curves {
		for _, piece := range c.pieces {
			for _, at := range piece {
				e.add(along(at))
			}
		}
	}
	for _, m := range p.marks {
		e.add(along(xy{m.x, m.y}))
	}
	for _, l := range p.levels {
		if l.vertical == vertical {
			e.add(l.value)
		}
	}
	return e
}

// frame settles the ranges and makes the plot. shared, where it is not nil, is the
// horizontal range of all panels; bare leaves the horizontal axis unlabelled.
func (p *panel) frame(size vg.Point, shared *extent, bare bool) {
	plt := plot.New()
	plt.BackgroundColor = nil
	styleAxis(&plt.X)
	styleAxis(&plt.Y)
	plt.X.Tick.Label.XAlign, plt.X.Tick.Label.YAlign = draw.XCenter, draw.YTop
	plt.Y.Tick.Label.XAlign, plt.Y.Tick.Label.YAlign = draw.XRight, draw.YCenter
	p.plot = plt
	if p.hasBars() {
		p.frameBars(size)
		plt.Add(p)
		return
	}

	wantX, wantY := max(int(size.X/60), 2), max(int(size.Y/44), 2)
	xr := p.dataX()
	if shared != nil {
		xr = *shared
	}
	xr = nearZero(xr.opened())
	if p.dotted() {
		// Room for the first and the last dot.
		xr.lo, xr.hi = xr.lo-0.025*(xr.hi-xr.lo), xr.hi+0.025*(xr.hi-xr.lo)
	}
	if p.field == nil {
		xr = xr.snapped(wantX)
	}
	xr = p.x.fixed(xr)
	yr := p.dataY().opened()
	if p.field == nil {
		yr = yr.rounded(wantY)
	}
	yr = p.y.fixed(yr)
	plt.X.Min, plt.X.Max = xr.lo, xr.hi
	plt.Y.Min, plt.Y.Max = yr.lo, yr.hi
	plt.X.Tick.Marker = labelled{want: wantX, bare: bare}
	plt.Y.Tick.Marker = labelled{want: wantY}
	if !bare {
		plt.X.Label.Text = joined(wrap(p.x.title, axisSize, size.X*0.7), 2)
	}
	plt.Y.Label.Text = joined(wrap(p.y.title, axisSize, size.Y*0.72), 2)
	plt.Add(p)
}

// What a small picture goes without.
const (
	keepAll = iota
	dropTitles
	dropNumbers
)

func (p *panel) drop(what int) {
	switch what {
	case dropTitles:
		p.plot.X.Label.Text, p.plot.Y.Label.Text = "", ""
	case dropNumbers:
		p.plot.X.Tick.Marker, p.plot.Y.Tick.Marker = plot.ConstantTicks{}, plot.ConstantTicks{}
		p.entries, p.strip = nil, 0
	}
}

// nearZero lets a range that begins a little above zero begin at zero.
func nearZero(e extent) extent {
	if e.lo > 0 && e.lo < 0.1*e.hi {
		e.lo = 0
	}
	return e
}

func styleAxis(a *plot.Axis) {
	a.Padding = 0
	a.LineStyle = draw.LineStyle{Color: axisInk, Width: 0.8}
	a.Tick.LineStyle = a.LineStyle
	a.Tick.Length = 5
	a.Tick.Label = textStyle(tickSize, ink, draw.XCenter, draw.YCenter)
	a.Label.TextStyle = textStyle(axisSize, ink, draw.XCenter, draw.YBottom)
	a.Label.Padding = 4
}

// room is the canvas of the data, in which content can be placed.
func (p *panel) room(c draw.Canvas) draw.Canvas { return p.plot.DataCanvas(c) }

// to maps a point of the data to the canvas.
func (p *panel) to(c *draw.Canvas, x, y float64) vg.Point {
	return vg.Point{X: c.X(p.plot.X.Norm(x)), Y: c.Y(p.plot.Y.Norm(y))}
}

// GlyphBoxes implements plot.GlyphBoxer: it keeps room for a legend above the data.
func (p *panel) GlyphBoxes(*plot.Plot) []plot.GlyphBox {
	if p.strip == 0 {
		return nil
	}
	return []plot.GlyphBox{{X: 0.5, Y: 1, Rectangle: rect(0, 0, 0, p.strip)}}
}

// Plot implements plot.Plotter. arrange has been called with the same canvas.
func (p *panel) Plot(c draw.Canvas, _ *plot.Plot) {
	p.drawSpans(c)
	switch {
	case p.field != nil:
		p.field.draw(c, p)
	case p.hasBars():
		p.drawBars(c)
	default:
		p.drawGrid(c)
	}
	p.drawLevels(c)
	p.drawCurves(c)
	p.drawLegend(c)
	for _, l := range p.leaders {
		c.StrokeLines(draw.LineStyle{Color: faintInk, Width: 0.9}, l)
	}
	for _, t := range p.texts {
		if t.veil {
			fillRect(c, paper, grow(t.box, 1.5))
		}
		drawLines(c, t.lines, labelSize, t.color, t.box, alignCentre)
	}
	p.drawMarks(c)
}

func (p *panel) drawGrid(c draw.Canvas) {
	line := draw.LineStyle{Color: gridInk, Width: 0.7}
	for _, t := range p.plot.X.Tick.Marker.Ticks(p.plot.X.Min, p.plot.X.Max) {
		x := c.X(p.plot.X.Norm(t.Value))
		c.StrokeLine2(line, x, c.Min.Y, x, c.Max.Y)
	}
	for _, t := range p.plot.Y.Tick.Marker.Ticks(p.plot.Y.Min, p.plot.Y.Max) {
		y := c.Y(p.plot.Y.Norm(t.Value))
		c.StrokeLine2(line, c.Min.X, y, c.Max.X, y)
	}
}

// arrange finds a place for every text of the panel on its data canvas. It tells
// whether the legend found room; where not, it is called again with a strip kept.
func (p *panel) arrange(c draw.Canvas) bool {
	p.texts, p.leaders, p.legend = nil, nil, nil
	pl := &placer{area: grow(c.Rectangle, -3)}
	if p.empty() {
		p.write(spotIn(pl, []string{"nothing to show"}, faintInk))
		return true
	}
	for _, cv := range p.curves {
		pl.lines = append(pl.lines, cv.onCanvas(p, c)...)
	}
	p.placeBarValues(c)
	for _, l := range p.levels {
		if line := p.levelLine(c, l); line != nil {
			pl.lines = append(pl.lines, line)
		}
	}
	p.placeMarks(c, pl)
	p.placeLevels(c, pl)
	p.placeSpans(c, pl)
	if p.field != nil {
		p.field.placeLabels(c, p, pl)
	}
	return p.placeLegend(c, pl)
}

func (p *panel) write(t placed) { p.texts = append(p.texts, t) }

// spotIn centres a text in the area.
func spotIn(pl *placer, lines []string, col color.NRGBA) placed {
	size := textSize(lines, labelSize)
	mid := pl.area.Min.Add(pl.area.Size().Scale(0.5))
	return placed{
		lines: lines, text: lines[0], color: col,
		box: rect(mid.X-size.X/2, mid.Y-size.Y/2, mid.X+size.X/2, mid.Y+size.Y/2),
	}
}
