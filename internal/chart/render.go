package chart

import (
	"bytes"
	"fmt"
	"io"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Formats are the formats that Render knows, as the ends of file names.
var Formats = []string{"png", "svg", "pdf"}

// A Size says how large a picture is. A zero field is chosen: 9 inches wide, as high
// as the panels want, 144 pixels to the inch.
type Size struct {
	Width, Height float64 // points, 72 to the inch
	DPI           int     // of PNG
}

const (
	defaultWidth = 648
	defaultDPI   = 144
	leastSide    = 120
	mostSide     = 7200
	margin       = 14
	panelGap     = 14
)

// Render writes the figure at its default size. format is one of Formats.
func Render(fig answer.Figure, units si.System, format string, w io.Writer) error {
	_, err := RenderLayout(fig, units, format, Size{}, w)
	return err
}

// RenderLayout writes the figure and says where it shows what. It fails for an unknown
// format, a size outside 120 to 7200 points, and curves or fields whose lengths do not
// match. Values that are not finite leave gaps.
func RenderLayout(fig answer.Figure, units si.System, format string, size Size, w io.Writer) (Layout, error) {
	if err := check(fig); err != nil {
		return Layout{}, err
	}
	pic := newPicture(fig, units, size)
	if side := min(pic.width, pic.height); side < leastSide || max(pic.width, pic.height) > mostSide {
		return Layout{}, fmt.Errorf("a picture of %g × %g points: each side has to be %d to %d",
			pic.width, pic.height, leastSide, mostSide)
	}
	dpi := size.DPI
	if dpi <= 0 {
		dpi = defaultDPI
	}
	target, err := newTarget(format, pic.width, pic.height, dpi)
	if err != nil {
		return Layout{}, err
	}
	layout := pic.draw(draw.New(target), toPicture{height: pic.height, scale: target.scale})
	var out bytes.Buffer
	if err := target.write(&out, pic.title); err != nil {
		return Layout{}, fmt.Errorf("drawing %q as %s: %w", fig.Name, format, err)
	}
	_, err = w.Write(out.Bytes())
	return layout, err
}

// A picture is a figure on its way onto the canvas.
type picture struct {
	title         string
	note          string
	width, height vg.Length
	sharedX       bool
	panels        []*panel
}

func newPicture(fig answer.Figure, units si.System, size Size) *picture {
	pic := &picture{title: printable(fig.Title), note: fig.Note, sharedX: fig.SharedX}
	for i, src := range fig.Panels {
		pic.panels = append(pic.panels, newPanel(i, src, units))
	}
	if len(pic.panels) == 0 {
		pic.panels = []*panel{newPanel(0, answer.Panel{}, units)}
	}
	pic.width, pic.height = vg.Length(size.Width), vg.Length(size.Height)
	if pic.width == 0 {
		pic.width = defaultWidth
	}
	if pic.height == 0 {
		pic.height = pic.wantedHeight()
	}
	return pic
}

// wantedHeight grows with the panels, each of them lower when there are many.
func (pic *picture) wantedHeight() vg.Length {
	each := map[int]vg.Length{1: 370, 2: 250, 3: 195}[len(pic.panels)]
	if each == 0 {
		each = 165
	}
	var rows vg.Length // of the panel with the most bars
	onlyBars := true
	for _, p := range pic.panels {
		rows = max(rows, vg.Length(len(p.bars)))
		onlyBars = onlyBars && p.hasBars()
	}
	if onlyBars {
		each = 0
	}
	if rows > 0 {
		each = max(each, min(rows*38+70, 1200))
	}
	head, foot := pic.head(), pic.foot()
	wanted := vg.Length(len(pic.panels))*(each+panelGap) + head + foot + 2*margin
	return min(wanted, mostSide)
}

// Title and note take no more than a share of the height, where that is given.
func (pic *picture) titleLines() []string {
	return clamp(wrap(pic.title, titleSize, pic.width-2*margin), pic.linesIn(0.22, titleSize, 3))
}

func (pic *picture) noteLines() []string {
	return clamp(wrap(pic.note, noteSize, pic.width-2*margin), pic.linesIn(0.14, noteSize, 4))
}

func (pic *picture) linesIn(share, size vg.Length, most int) int {
	if pic.height == 0 {
		return most
	}
	return max(min(int(share*pic.height/lineHeight(size)), most), 1)
}

func (pic *picture) head() vg.Length {
	if n := len(pic.titleLines()); n > 0 {
		return vg.Length(n)*lineHeight(titleSize) + 8
	}
	return 0
}

func (pic *picture) foot() vg.Length {
	if n := len(pic.noteLines()); n > 0 {
		return vg.Length(n)*lineHeight(noteSize) + 8
	}
	return 0
}

// draw draws everything and tells where it went.
func (pic *picture) draw(c draw.Canvas, to toPicture) Layout {
	fillRect(c, paper, c.Rectangle)
	inner := draw.Crop(c, margin, -margin, margin, -margin)
	drawLines(c, pic.titleLines(), titleSize, ink, inner.Rectangle, alignLeft)
	drawLines(c, pic.noteLines(), noteSize, faintInk, rect(inner.Min.X, inner.Min.Y,
		inner.Max.X, inner.Min.Y+vg.Length(len(pic.noteLines()))*lineHeight(noteSize)), alignLeft)
	body := draw.Crop(inner, 0, 0, pic.foot(), -pic.head())

	var scaleRoom vg.Length
	each := body.Size().Y / vg.Length(len(pic.panels))
	for _, p := range pic.panels {
		if p.field != nil {
			scaleRoom = max(scaleRoom, p.field.scaleRoom(0.8*each))
		}
	}
	body = draw.Crop(body, 0, -min(scaleRoom, 0.4*body.Size().X), 0, 0)

	pic.frame(vg.Point{X: body.Size().X, Y: each})
	tiles := pic.arrange(body)
	layout := Layout{Width: float64(pic.width) * to.scale, Height: float64(pic.height) * to.scale}
	for i, p := range pic.panels {
		p.plot.Draw(tiles[i])
		data := p.room(tiles[i])
		if p.field != nil {
			p.field.drawScale(data)
		}
		layout.add(p, data, to)
	}
	return layout
}

func (pic *picture) frame(each vg.Point) {
	var shared *extent
	if pic.sharedX {
		var e extent
		for _, p := range pic.panels {
			if d := p.dataX(); d.any && !p.hasBars() {
				e.add(d.lo, d.hi)
			}
		}
		shared = &e
	}
	for i, p := range pic.panels {
		p.frame(each, shared, pic.sharedX && i < len(pic.panels)-1)
	}
}

// arrange gives each panel its tile, with the data areas one under the other, and
// places its texts. A legend that found no room inside moves above the data, which
// shifts the areas, so that everything is placed again. A picture too small for all
// its text loses first the titles of its axes, then the numbers.
func (pic *picture) arrange(body draw.Canvas) []draw.Canvas {
	for without := keepAll; ; {
		tiles, sound := pic.tiles(body)
		if !sound && without < dropNumbers {
			without++
			for _, p := range pic.panels {
				p.drop(without)
			}
			continue
		}
		settled := true
		for i, p := range pic.panels {
			if !p.arrange(p.room(tiles[i])) {
				settled = false
			}
		}
		if settled {
			return tiles
		}
	}
}

// tiles aligns the panels and tells whether each has a data area worth drawing in.
func (pic *picture) tiles(body draw.Canvas) (tiles []draw.Canvas, sound bool) {
	rows := make([][]*plot.Plot, len(pic.panels))
	for i, p := range pic.panels {
		rows[i] = []*plot.Plot{p.plot}
	}
	sound = true
	for i, row := range plot.Align(rows, draw.Tiles{Rows: len(rows), Cols: 1, PadY: panelGap}, body) {
		tiles = append(tiles, row[0])
		area := pic.panels[i].room(row[0]).Size()
		// Not a number where the library found no room for a centred title.
		if !(area.X >= 0.25*body.Size().X) || !(area.Y >= 0.2*body.Size().Y/vg.Length(len(rows))) {
			sound = false
		}
	}
	return tiles, sound
}

func (l *Layout) add(p *panel, data draw.Canvas, to toPicture) {
	l.Panels = append(l.Panels, to.box(data.Rectangle))
	for _, m := range p.marks {
		if at, ok := p.visible(data, m); ok {
			x, y := to.point(at)
			l.Marks = append(l.Marks, MarkPlace{Panel: p.index, Index: m.index, X: x, Y: y})
		}
	}
	for _, t := range p.texts {
		l.Texts = append(l.Texts, TextBox{Panel: p.index, Text: t.text, Box: to.box(t.box)})
	}
}
