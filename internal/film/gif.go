package film

import (
	"bytes"
	"image"
	"image/gif"
	"io"
)

// A gifWriter writes a GIF picture by picture, each as what has changed since the one
// before. The standard library writes a whole one at once, for which all pictures would
// have to be held; so each is encoded as a GIF of its own, of which the part between
// head and tail is taken.
type gifWriter struct {
	w      io.Writer
	look   *palette
	size   image.Point
	before *image.Paletted
	err    error
}

// looping is the extension that has a GIF start again at its end.
const looping = "\x21\xff\x0bNETSCAPE2.0\x03\x01\x00\x00\x00"

const gifEnd = "\x3b"

func newGIF(w io.Writer, look *palette, size image.Point) *gifWriter {
	return &gifWriter{w: w, look: look, size: size}
}

// headLength is the size of a GIF's head: signature, screen, and the palette filled up
// to a power of two.
func (g *gifWriter) headLength() int {
	colours := 2
	for colours < len(g.look.colours) {
		colours *= 2
	}
	return 6 + 7 + 3*colours
}

// add appends a picture that stands for a delay in hundredths of a second.
func (g *gifWriter) add(picture *image.Paletted, delay int) error {
	shown := picture
	if g.before != nil {
		shown = g.changes(picture)
	}
	whole := gif.GIF{
		Image: []*image.Paletted{shown}, Delay: []int{delay}, Disposal: []byte{gif.DisposalNone},
		Config: image.Config{ColorModel: g.look.colours, Width: g.size.X, Height: g.size.Y},
	}
	var one bytes.Buffer
	if err := gif.EncodeAll(&one, &whole); err != nil {
		return err
	}
	head := g.headLength()
	if g.before == nil {
		g.write(one.Bytes()[:head])
		g.write([]byte(looping))
	}
	g.write(one.Bytes()[head : one.Len()-len(gifEnd)])
	g.before = picture
	return g.err
}

func (g *gifWriter) end() error {
	g.write([]byte(gifEnd))
	return g.err
}

func (g *gifWriter) write(b []byte) {
	if g.err == nil {
		_, g.err = g.w.Write(b)
	}
}

// changes is the part of a picture that differs from the one before; what is the same
// within it lets that one show through. Where nothing differs it is one pixel.
func (g *gifWriter) changes(picture *image.Paletted) *image.Paletted {
	var box image.Rectangle
	width := picture.Rect.Dx()
	for y := range picture.Rect.Dy() {
		now, was := picture.Pix[y*picture.Stride:][:width], g.before.Pix[y*g.before.Stride:][:width]
		if bytes.Equal(now, was) {
			continue
		}
		first, last := 0, width-1
		for now[first] == was[first] {
			first++
		}
		for now[last] == was[last] {
			last--
		}
		box = box.Union(image.Rect(first, y, last+1, y+1))
	}
	if box.Empty() {
		box = image.Rect(0, 0, 1, 1)
	}
	out := image.NewPaletted(box, picture.Palette)
	for y := box.Min.Y; y < box.Max.Y; y++ {
		now, was := picture.Pix[y*picture.Stride:], g.before.Pix[y*g.before.Stride:]
		row := out.Pix[(y-box.Min.Y)*out.Stride:]
		for x := box.Min.X; x < box.Max.X; x++ {
			v := now[x]
			if v == was[x] {
				v = g.look.through
			}
			row[x-box.Min.X] = v
		}
	}
	return out
}
