package film

import (
	"sync"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// boldFrom is the weight from which on letters are bold.
const boldFrom = 600

// Where a baseline lies below the middle and below the top of letters, of their size.
const (
	middleOfLetters = 0.35
	topOfLetters    = 0.9
)

// A word is a text as an outline, its baseline's left end at the origin.
type word struct {
	shape *outline
	width float64
}

// A face is a font with the words set in it so far, at size 1.
type face struct {
	mu    sync.Mutex
	font  *sfnt.Font
	buf   sfnt.Buffer
	units fixed.Int26_6
	words map[string]word
}

// mostWords bounds how many words are kept: numbers change all the time.
const mostWords = 2000

func newFace(ttf []byte) *face {
	f, err := sfnt.Parse(ttf)
	if err != nil {
		panic(err) // the font is a part of the program
	}
	return &face{font: f, units: fixed.I(int(f.UnitsPerEm())), words: map[string]word{}}
}

var (
	regular = sync.OnceValue(func() *face { return newFace(liberationsansregular.TTF) })
	bold    = sync.OnceValue(func() *face { return newFace(liberationsansbold.TTF) })
)

// lettering sets a text.
func lettering(text string, size float64, heavy bool) word {
	f := regular()
	if heavy {
		f = bold()
	}
	w := f.set(text)
	out := &outline{make([]segment, len(w.shape.segments))}
	for i, s := range w.shape.segments {
		for k := range s.p {
			s.p[k] = point{s.p[k].x * size, s.p[k].y * size}
		}
		out.segments[i] = s
	}
	return word{out, w.width * size}
}

func (f *face) set(text string) word {
	f.mu.Lock()
	defer f.mu.Unlock()
	if w, ok := f.words[text]; ok {
		return w
	}
	if len(f.words) >= mostWords {
		clear(f.words)
	}
	o := &outline{}
	x := 0.0
	unit := float64(f.units)
	before := sfnt.GlyphIndex(0)
	for _, r := range text {
		glyph, err := f.font.GlyphIndex(&f.buf, r)
		if err != nil {
			continue
		}
		if kern, err := f.font.Kern(&f.buf, before, glyph, f.units, font.HintingNone); err == nil && before != 0 {
			x += float64(kern) / unit
		}
		segments, err := f.font.LoadGlyph(&f.buf, glyph, f.units, nil)
		if err != nil {
			continue
		}
		at := func(p fixed.Point26_6) point { return point{x + float64(p.X)/unit, float64(p.Y) / unit} }
		for i, s := range segments {
			switch s.Op {
			case sfnt.SegmentOpMoveTo:
				if i > 0 {
					o.close()
				}
				o.moveTo(at(s.Args[0]))
			case sfnt.SegmentOpLineTo:
				o.lineTo(at(s.Args[0]))
			case sfnt.SegmentOpQuadTo:
				o.quadTo(at(s.Args[0]), at(s.Args[1]))
			case sfnt.SegmentOpCubeTo:
				o.cubicTo(at(s.Args[0]), at(s.Args[1]), at(s.Args[2]))
			}
		}
		if len(segments) > 0 {
			o.close()
		}
		if advance, err := f.font.GlyphAdvance(&f.buf, glyph, f.units, font.HintingNone); err == nil {
			x += float64(advance) / unit
		}
		before = glyph
	}
	w := word{o, x}
	f.words[text] = w
	return w
}
