package film

import (
	"bytes"
	"context"
	"image"
	"image/png"
	"io"
)

// WriteGIF shoots the film into one moving picture.
func (f *Film) WriteGIF(ctx context.Context, w io.Writer) error {
	look := newPalette(f.script.sheet)
	out := newGIF(w, look, f.Size)
	worker := func() func([]mark) (*image.Paletted, error) {
		paint, indexed := f.worker(), look.mapper()
		return func(marks []mark) (*image.Paletted, error) { return indexed.indices(paint(marks)), nil }
	}
	err := inOrder(ctx, f.Frames, worker,
		func(i int) ([]mark, error) { return f.next(ctx, i) },
		func(i int, picture *image.Paletted) error {
			f.tell(i)
			return out.add(picture, f.delay(i))
		})
	if err != nil {
		return err
	}
	return out.end()
}

// WriteFrames shoots the film into one PNG for every step of time, the last one as often
// as it stands; each is handed to write with its number, from 1 on.
func (f *Film) WriteFrames(ctx context.Context, write func(number int, picture []byte) error) error {
	worker := func() func([]mark) ([]byte, error) {
		paint := f.worker()
		encoder := png.Encoder{CompressionLevel: png.BestSpeed}
		return func(marks []mark) ([]byte, error) {
			var out bytes.Buffer
			err := encoder.Encode(&out, paint(marks))
			return signed(out.Bytes()), err
		}
	}
	return inOrder(ctx, f.Frames, worker,
		func(i int) ([]mark, error) { return f.next(ctx, i) },
		func(i int, picture []byte) error {
			f.tell(i)
			last := i + 1
			if i == f.Frames-1 {
				last = f.Pictures()
			}
			for number := i + 1; number <= last; number++ {
				if err := write(number, picture); err != nil {
					return err
				}
			}
			return nil
		})
}

// worker returns a function that paints marks on a canvas of its own.
func (f *Film) worker() func([]mark) *image.RGBA {
	p, canvas, paper := newPainter(f.Size), image.NewRGBA(image.Rectangle{Max: f.Size}), f.script.sheet.colour("paper")
	return func(marks []mark) *image.RGBA {
		p.paint(canvas, paper, marks)
		return canvas
	}
}

func (f *Film) tell(i int) {
	if f.options.Watch != nil {
		f.options.Watch(i+1, f.Frames)
	}
}
