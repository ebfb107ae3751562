package chart

import (
	"kneepoint/sim/answer"
	"kneepoint/sim/si"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// A bar is one labelled value in the units printed; the first stands on top.
type bar struct {
	label     string
	value     float64
	low, high float64
	band      bool
	missing   bool
	role      answer.Role
	text      string
}

func (p *panel) addBars(units si.System) {
	for _, src := range p.src.Bars {
		b := bar{label: barLabel(src, units), value: p.x.of(src.Value), role: src.Role}
		if !canDraw(b.value) {
			b.missing, b.value, b.text = true, 0, "—"
		} else {
			b.text = p.x.print(src.Value, units)
		}
		low, high := p.x.of(src.Low), p.x.of(src.High)
		if src.Low != src.High && canDraw(low) && canDraw(high) && !b.missing {
			b.band, b.low, b.high = true, min(low, high), max(low, high)
		}
		p.bars = append(p.bars, b)
	}
}

func barLabel(src answer.Bar, units si.System) string {
	if src.Words != nil {
		return src.Words(units)
	}
	return src.Label
}

func (p *panel) frameBars(size vg.Point) {
	var e extent
	e.add(0)
	var widest vg.Length
	for _, b := range p.bars {
		e.add(b.value)
		if b.band {
			e.add(b.low, b.high)
		}
		widest = max(widest, face(labelSize).Width(b.text))
	}
	for _, l := range p.levels {
		if l.vertical {
			e.add(l.value)
		}
	}
	if e.lo == e.hi {
		e = e.opened()
	}
	// The value stands behind the bar.
	share := min(float64((widest+14)/max(size.X*0.7, 1)), 0.5)
	if e.hi > 0 {
		e.hi += (e.hi - e.lo) * share
	}
	if e.lo < 0 {
		e.lo -= (e.hi - e.lo) * share
	}
	e = p.x.fixed(e)

	plt := p.plot
	plt.X.Min, plt.X.Max = e.lo, e.hi
	plt.X.Tick.Marker = labelled{want: max(int(size.X/110), 2)}
	plt.X.Label.Text = joined(wrap(p.x.title, axisSize, size.X*0.5), 2)
	n := len(p.bars)
	plt.Y.Min, plt.Y.Max = -0.5, float64(n)-0.5
	ticks := make(plot.ConstantTicks, n)
	for i, b := range p.bars {
		ticks[i] = plot.Tick{
			Value: float64(n - 1 - i),
			Label: joined(wrap(b.label, tickSize, 0.34*size.X), 2),
		}
	}
	plt.Y.Tick.Marker = ticks
	plt.Y.Tick.Length = 0
	plt.Y.Label.Text = joined(wrap(p.y.title, axisSize, size.Y*0.8), 2)
}

// barBox is the bar of row i (from the top) on the canvas.
func (p *panel) barBox(c draw.Canvas, i int) vg.Rectangle {
	b := p.bars[i]
	row := c.Size().Y / vg.Length(len(p.bars))
	mid := c.Max.Y - row*(vg.Length(i)+0.5)
	half := min(0.33*row, 14)
	x0, x1 := c.X(p.plot.X.Norm(0)), c.X(p.plot.X.Norm(b.value))
	clip := func(x vg.Length) vg.Length { return min(max(x, c.Min.X), c.Max.X) }
	return rect(clip(min(x0, x1)), mid-half, clip(max(x0, x1)), mid+half)
}

func (p *panel) drawBars(c draw.Canvas) {
	grid := draw.LineStyle{Color: gridInk, Width: 0.7}
	for _, t := range p.plot.X.Tick.Marker.Ticks(p.plot.X.Min, p.plot.X.Max) {
		x := c.X(p.plot.X.Norm(t.Value))
		c.StrokeLine2(grid, x, c.Min.Y, x, c.Max.Y)
	}
	if x := c.X(p.plot.X.Norm(0)); x > c.Min.X && c.ContainsX(x) {
		c.StrokeLine2(draw.LineStyle{Color: axisInk, Width: 0.8}, x, c.Min.Y, x, c.Max.Y)
	}
	whisker := draw.LineStyle{Color: ink, Width: 1.3}
	for i, b := range p.bars {
		box := p.barBox(c, i)
		fillRect(c, roleColor(b.role), box)
		if !b.band {
			continue
		}
		mid := (box.Min.Y + box.Max.Y) / 2
		lo := max(c.X(p.plot.X.Norm(b.low)), c.Min.X)
		hi := min(c.X(p.plot.X.Norm(b.high)), c.Max.X)
		// White below keeps the part over a dark bar visible.
		halo := draw.LineStyle{Color: paper, Width: 3.4}
		c.StrokeLine2(halo, lo, mid, hi, mid)
		c.StrokeLine2(whisker, lo, mid, hi, mid)
		for _, x := range []vg.Length{lo, hi} {
			c.StrokeLine2(halo, x, mid-4.5, x, mid+4.5)
			c.StrokeLine2(whisker, x, mid-3.5, x, mid+3.5)
		}
	}
}

// placeBarValues writes each value behind its bar, or inside where the axis ends.
func (p *panel) placeBarValues(c draw.Canvas) {
	for i, b := range p.bars {
		box := p.barBox(c, i)
		size := textSize([]string{b.text}, labelSize)
		end := box.Max.X
		if b.band {
			end = max(end, c.X(p.plot.X.Norm(b.high)))
		}
		mid := (box.Min.Y + box.Max.Y) / 2
		x, col := end+6, ink
		if b.value < 0 {
			start := box.Min.X
			if b.band {
				start = min(start, c.X(p.plot.X.Norm(b.low)))
			}
			x = start - 6 - size.X
		}
		if x+size.X > c.Max.X || x < c.Min.X {
			x, col = max(box.Max.X-6-size.X, c.Min.X+6), paper
			if box.Size().X < size.X+12 {
				col = ink
			}
		}
		p.write(placed{
			lines: []string{b.text}, text: b.text, color: col,
			box: rect(x, mid-size.Y/2, x+size.X, mid+size.Y/2),
		})
	}
}
