package film

import (
	"encoding/binary"
	"image"
	"image/color"
	"math"

	"github.com/golang/freetype/raster"
	"golang.org/x/image/math/fixed"
)

// A painter paints marks on one picture after the other; each worker has its own.
type painter struct {
	raster *raster.Rasterizer
	size   image.Point
	masks  map[clip]*image.Alpha
	// now and before hold what the rasterizer made of the marks of this picture and of
	// the last one: most of them come again as they were.
	now, before map[inked][]raster.Span
	canvas      *image.RGBA
	// brush and mask are those of the outline being painted.
	brush color.RGBA
	mask  *image.Alpha
}

// An inked is all that the pixels of a fill, or of a line of some width, hang on.
type inked struct {
	shape  *outline
	at     matrix
	filled bool
	width  float64
}

func newPainter(size image.Point) *painter {
	r := raster.NewRasterizer(size.X, size.Y)
	r.UseNonZeroWinding = true
	return &painter{raster: r, size: size, masks: map[clip]*image.Alpha{}}
}

// paint covers a canvas with a colour and paints the marks over it.
func (p *painter) paint(canvas *image.RGBA, paper color.RGBA, marks []mark) {
	p.canvas = canvas
	flood(canvas.Pix, paper)
	p.before, p.now = p.now, map[inked][]raster.Span{}
	p.marks(marks)
}

func (p *painter) marks(marks []mark) {
	for i := 0; i < len(marks); i++ {
		m := &marks[i]
		if m.group != nil {
			p.thinly(marks[i+1:i+1+m.group.marks], m.group.opacity)
			i += m.group.marks
			continue
		}
		p.mask = p.maskOf(m.clip)
		if m.filled {
			p.spread(inked{m.shape, m.at, true, 0}, m.fill, func() {
				for _, c := range m.shape.contours(m.at) {
					p.add(c.points)
				}
			})
		}
		if m.pen.width > 0 {
			p.spread(inked{m.shape, m.at, false, m.pen.width}, m.pen.colour, func() { p.stroke(m) })
		}
	}
}

// thinly paints marks together and lets what lies under them through.
func (p *painter) thinly(marks []mark, opacity float64) {
	under := p.canvas
	over := image.NewRGBA(under.Rect)
	copy(over.Pix, under.Pix)
	p.canvas = over
	p.marks(marks)
	p.canvas = under
	k := int(math.Round(opacity * 256))
	for i, v := range over.Pix {
		u := int(under.Pix[i])
		under.Pix[i] = uint8(u + (int(v)-u)*k>>8)
	}
}

func (p *painter) add(points []point) {
	p.raster.Start(fixedPoint(points[0]))
	for _, q := range points[1:] {
		p.raster.Add1(fixedPoint(q))
	}
	p.raster.Add1(fixedPoint(points[0]))
}

// farOff keeps the numbers of what lies outside a picture small.
const farOff = 1 << 14

func fixedPoint(p point) fixed.Point26_6 {
	f := func(v float64) fixed.Int26_6 { return fixed.Int26_6(math.Round(64 * min(max(v, -farOff), farOff))) }
	return fixed.Point26_6{X: f(p.x), Y: f(p.y)}
}

// spread paints what add adds to the rasterizer, or what that came to before.
func (p *painter) spread(what inked, brush color.RGBA, add func()) {
	spans, ok := p.before[what]
	if !ok {
		spans, ok = p.now[what]
	}
	if !ok {
		add()
		p.raster.Rasterize(raster.PainterFunc(func(more []raster.Span, _ bool) { spans = append(spans, more...) }))
		p.raster.Clear()
	}
	p.now[what] = spans
	p.brush = brush
	p.spans(spans)
}

// mostMasks bounds how many clips are remembered; a picture has a few.
const mostMasks = 8

// maskOf returns the mask of a clip, nil for none.
func (p *painter) maskOf(c *clip) *image.Alpha {
	if c == nil {
		return nil
	}
	if m, ok := p.masks[*c]; ok {
		return m
	}
	m := image.NewAlpha(image.Rectangle{Max: p.size})
	for _, part := range c.shape.contours(c.at) {
		p.add(part.points)
	}
	p.raster.Rasterize(raster.NewAlphaSrcPainter(m))
	p.raster.Clear()
	if len(p.masks) > mostMasks {
		clear(p.masks)
	}
	p.masks[*c] = m
	return m
}

// spans paints on the canvas, which is opaque everywhere.
func (p *painter) spans(spans []raster.Span) {
	for _, s := range spans {
		if s.Y < 0 || s.Y >= p.size.Y {
			continue
		}
		x0, x1 := max(s.X0, 0), min(s.X1, p.size.X)
		if x0 >= x1 {
			continue
		}
		row := p.canvas.Pix[s.Y*p.canvas.Stride+4*x0 : s.Y*p.canvas.Stride+4*x1]
		cover := s.Alpha >> 8
		switch {
		case p.mask != nil:
			p.blendMasked(row, p.mask.Pix[s.Y*p.mask.Stride+x0:s.Y*p.mask.Stride+x1], cover)
		case cover >= 255:
			flood(row, p.brush)
		default:
			p.blend(row, cover)
		}
	}
}

// flood gives every pixel an opaque colour.
func flood(row []uint8, c color.RGBA) {
	pixel := uint32(c.R) | uint32(c.G)<<8 | uint32(c.B)<<16 | 255<<24
	for ; len(row) >= 4; row = row[4:] {
		binary.LittleEndian.PutUint32(row, pixel)
	}
}

func (p *painter) blend(row []uint8, cover uint32) {
	r, g, b, rest := uint32(p.brush.R)*cover+127, uint32(p.brush.G)*cover+127, uint32(p.brush.B)*cover+127, 255-cover
	for i := 0; i < len(row); i += 4 {
		row[i] = uint8((r + uint32(row[i])*rest) / 255)
		row[i+1] = uint8((g + uint32(row[i+1])*rest) / 255)
		row[i+2] = uint8((b + uint32(row[i+2])*rest) / 255)
	}
}

func (p *painter) blendMasked(row, mask []uint8, cover uint32) {
	for i, m := range mask {
		switch c := cover * uint32(m) / 255; c {
		case 0:
		case 255:
			row[4*i], row[4*i+1], row[4*i+2] = p.brush.R, p.brush.G, p.brush.B
		default:
			p.blend(row[4*i:4*i+4], c)
		}
	}
}
