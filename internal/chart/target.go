package chart

import (
	"bytes"
	"fmt"
	"html"
	"io"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/text/encoding/charmap"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgpdf"
	"gonum.org/v1/plot/vg/vgsvg"
)

// A target is the canvas of one format. scale is the number of the format's lengths
// in a point.
type target struct {
	vg.CanvasSizer
	scale float64
	write func(w io.Writer, title string) error
}

func newTarget(format string, width, height vg.Length, dpi int) (target, error) {
	switch format {
	case "png":
		return pngTarget(width, height, dpi), nil
	case "svg":
		return svgTarget(width, height), nil
	case "pdf":
		return pdfTarget(width, height), nil
	}
	return target{}, fmt.Errorf("a picture as %q: want png, svg or pdf", format)
}

func pngTarget(width, height vg.Length, dpi int) target {
	c := vgimg.NewWith(vgimg.UseWH(width, height), vgimg.UseDPI(dpi))
	return target{CanvasSizer: c, scale: float64(dpi) / 72, write: func(w io.Writer, _ string) error {
		_, err := vgimg.PngCanvas{Canvas: c}.WriteTo(w)
		return err
	}}
}

// The reader's machine may lack the typeface; these have the same widths.
const svgTypeface = "font-family:'Liberation Sans',Arimo,Arial,Helvetica,sans-serif"

func svgTarget(width, height vg.Length) target {
	c := vgsvg.New(width, height)
	return target{CanvasSizer: c, scale: 1, write: func(w io.Writer, title string) error {
		var b bytes.Buffer
		if _, err := c.WriteTo(&b); err != nil {
			return err
		}
		doc := bytes.ReplaceAll(b.Bytes(), []byte("font-family:Liberation Sans"), []byte(svgTypeface))
		// A screen reader reads the title.
		if title != "" {
			const end = `xmlns:xlink="http://www.w3.org/1999/xlink">`
			doc = bytes.Replace(doc, []byte(end), []byte(end+"\n<title>"+html.EscapeString(title)+"</title>"), 1)
		}
		_, err := w.Write(doc)
		return err
	}}
}

func init() {
	// The PDF writer stamps the time and lists fonts in the order of a map, unless told
	// otherwise; its canvas offers no other way than the package's defaults.
	fpdf.SetDefaultCatalogSort(true)
	fpdf.SetDefaultCreationDate(time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC))
	fpdf.SetDefaultModificationDate(time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC))
}

func pdfTarget(width, height vg.Length) target {
	c := vgpdf.New(width, height)
	return target{CanvasSizer: pdfCanvas{c}, scale: 1, write: func(w io.Writer, _ string) error {
		_, err := c.WriteTo(w)
		return err
	}}
}

// pdfCanvas writes text in the code page of the PDF canvas's fonts, Windows-1252.
type pdfCanvas struct{ *vgpdf.Canvas }

// FillString implements vg.Canvas.
func (c pdfCanvas) FillString(f font.Face, at vg.Point, s string) {
	c.Canvas.FillString(f, at, windows1252(s))
}

// What the code page lacks and a label may hold, spelt otherwise.
var spelling = map[rune]string{
	'−': "–", '≥': ">=", '≤': "<=", '≈': "~", '→': "->", '←': "<-", '⅛': "1/8", '⅜': "3/8",
	'⅝': "5/8", '⅞': "7/8", '⋅': "·", 'Δ': "d", 'η': "eta", 'Ω': "ohm", '\u2009': " ", '\u202F': " ", '\u2011': "-",
}

func windows1252(s string) string {
	var b []byte
	for _, r := range s {
		if c, ok := charmap.Windows1252.EncodeRune(r); ok {
			b = append(b, c)
			continue
		}
		other, ok := spelling[r]
		if !ok {
			other = "?"
		}
		for _, r := range other {
			c, _ := charmap.Windows1252.EncodeRune(r)
			b = append(b, c)
		}
	}
	return string(b)
}
