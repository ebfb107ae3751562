package film

import (
	"encoding/binary"
	"image"
	"image/color"
	"math"
	"slices"
)

// A palette maps a picture's colours to at most 255 of the look, and one index more
// that lets the picture before show through.
type palette struct {
	colours color.Palette
	// parts are the colours' red, green and blue.
	parts []struct{ r, g, b int32 }
	// through is the transparent index.
	through uint8
}

// Colours between two of the look: those that chambers, lines and letters' edges take.
var ramps = []struct {
	from, to string
	steps    int
}{
	{"air", "mid", 26}, {"mid", "deep", 37}, {"dry", "wet", 24},
	{"ink", "panel", 7}, {"ink", "paper", 5}, {"ink", "metal", 4}, {"ink", "metal-dark", 3},
	{"ink", "air", 4}, {"ink", "deep", 3}, {"ink", "dry", 3}, {"ink", "wet", 3},
	{"faint", "panel", 5}, {"faint", "paper", 5}, {"edge", "panel", 3}, {"rule", "panel", 2}, {"rule", "paper", 1},
	{"line", "panel", 4}, {"line", "paper", 4}, {"vacuum", "panel", 4}, {"vacuum", "paper", 4},
	{"third", "panel", 4}, {"knee", "panel", 4}, {"off-span", "panel", 1},
	{"rubber", "panel", 3}, {"rubber", "metal", 2}, {"dot", "dot-edge", 2}, {"dot", "air", 2}, {"dot-edge", "deep", 2},
	{"metal", "panel", 2}, {"metal-dark", "air", 2}, {"metal-dark", "deep", 2}, {"air", "panel", 2}, {"deep", "panel", 3},
}

// plain are the colours of the look that the picture has as they are.
var plain = []string{
	"paper", "panel", "ink", "faint", "rule", "edge", "vacuum", "line", "third", "knee", "bare", "metal", "metal-dark",
	"rubber", "dot", "dot-edge", "air", "mid", "deep", "dry", "wet", "off-span",
}

func newPalette(sheet *stylesheet) *palette {
	p := &palette{}
	add := func(c color.RGBA) {
		if !slices.Contains(p.colours, color.Color(c)) {
			p.colours = append(p.colours, c)
			p.parts = append(p.parts, struct{ r, g, b int32 }{int32(c.R), int32(c.G), int32(c.B)})
		}
	}
	for _, name := range plain {
		add(sheet.colour(name))
	}
	for _, r := range ramps {
		a, b := sheet.colour(r.from), sheet.colour(r.to)
		for i := range r.steps {
			k := float64(i+1) / float64(r.steps+1)
			mix := func(x, y uint8) uint8 { return uint8(math.Round(float64(x) + k*(float64(y)-float64(x)))) }
			add(color.RGBA{mix(a.R, b.R), mix(a.G, b.G), mix(a.B, b.B), 255})
		}
	}
	const most = 255
	if len(p.colours) > most {
		panic("the look has more colours than a GIF")
	}
	p.through = uint8(len(p.colours))
	p.colours = append(p.colours, color.RGBA{})
	return p
}

// A mapper maps pictures; it remembers what it has looked up, and belongs to one worker.
type mapper struct {
	*palette
	// known has a place for each of many colours; another colour may take it.
	known [1 << placeBits]struct {
		colour uint32
		index  uint8
	}
}

const placeBits = 14

func (p *palette) mapper() *mapper {
	m := &mapper{palette: p}
	m.known[0].index = p.nearest(0) // the place of black, which the rest seem to hold too
	return m
}

// indices maps an opaque picture.
func (m *mapper) indices(in *image.RGBA) *image.Paletted {
	out := image.NewPaletted(in.Rect, m.colours)
	last, index := uint32(0), m.lookUp(0)
	for i := range out.Pix {
		c := binary.LittleEndian.Uint32(in.Pix[4*i:])
		if c != last {
			last, index = c, m.lookUp(c)
		}
		out.Pix[i] = index
	}
	return out
}

func (m *mapper) lookUp(c uint32) uint8 {
	const spread = 2654435761 // Knuth's multiplicative hashing
	place := &m.known[c*spread>>(32-placeBits)]
	if place.colour != c {
		place.colour, place.index = c, m.nearest(c)
	}
	return place.index
}

// nearest weighs the primaries about as the eye does; red is the lowest byte.
func (p *palette) nearest(c uint32) uint8 {
	r, g, b := int32(c&255), int32(c>>8&255), int32(c>>16&255)
	best, least := 0, int32(math.MaxInt32)
	for i, have := range p.parts {
		dr, dg, db := r-have.r, g-have.g, b-have.b
		if d := 3*dr*dr + 6*dg*dg + 2*db*db; d < least {
			best, least = i, d
		}
	}
	return uint8(best)
}
