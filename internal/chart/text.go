package chart

import (
	"image/color"
	"math"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"kneepoint/sim/answer"
)

// Sizes of text in points, for a picture read at arm's length.
const (
	titleSize vg.Length = 16
	axisSize  vg.Length = 13
	tickSize  vg.Length = 12
	labelSize vg.Length = 12
	noteSize  vg.Length = 10
)

func sans(size vg.Length) font.Font {
	return font.Font{Typeface: "Liberation", Variant: "Sans", Size: size}
}

func face(size vg.Length) *font.Face {
	f := font.DefaultCache.Lookup(sans(size), size)
	return &f
}

func textStyle(size vg.Length, c color.Color, x text.XAlignment, y text.YAlignment) text.Style {
	return text.Style{
		Color: c, Font: sans(size), XAlign: x, YAlign: y, Handler: plot.DefaultTextHandler,
	}
}

func lineHeight(size vg.Length) vg.Length { return size * 1.22 }

// textSize is the box that lines fill.
func textSize(lines []string, size vg.Length) vg.Point {
	f := face(size)
	var w vg.Length
	for _, l := range lines {
		w = max(w, f.Width(l))
	}
	return vg.Point{X: w, Y: vg.Length(len(lines)) * lineHeight(size)}
}

// wrap breaks s into lines no wider than width. A word wider than that is cut.
func wrap(s string, size, width vg.Length) []string {
	f := face(size)
	var lines []string
	line := ""
	for _, word := range strings.Fields(printable(s)) {
		for word != "" && f.Width(word) > width {
			head := cut(f, word, width)
			if line != "" {
				lines, line = append(lines, line), ""
			}
			lines, word = append(lines, head), word[len(head):]
		}
		switch {
		case word == "":
		case line == "":
			line = word
		case f.Width(line+" "+word) <= width:
			line += " " + word
		default:
			lines, line = append(lines, line), word
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// cut is the longest head of word that fits, at least one rune.
func cut(f *font.Face, word string, width vg.Length) string {
	end := 0
	for i, r := range word {
		next := i + len(string(r))
		if end > 0 && f.Width(word[:next]) > width {
			break
		}
		end = next
	}
	return word[:end]
}

// clamp keeps the first n lines and puts an ellipsis for the last word and the rest.
func clamp(lines []string, n int) []string {
	if len(lines) <= n {
		return lines
	}
	kept := append([]string(nil), lines[:n]...)
	last := kept[n-1]
	kept[n-1] = last[:max(strings.LastIndexByte(last, ' '), 0)] + " …"
	return kept
}

// printable drops what no font draws, what acts instead of being shown and broken UTF-8.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t':
			return ' '
		case answer.Acts(r) || r == '\uFFFD' || r > 0xFFFF:
			return -1
		}
		return r
	}, s)
}

// alignment of lines within their box
type align float64

const (
	alignLeft   align = 0
	alignCentre align = 0.5
	alignRight  align = 1
)

// drawLines writes lines into box, from its top.
func drawLines(c draw.Canvas, lines []string, size vg.Length, col color.Color, box vg.Rectangle, a align) {
	f := face(size)
	ext := f.Extents()
	lead := lineHeight(size)
	c.SetColor(col)
	for i, l := range lines {
		if l == "" {
			continue
		}
		x := box.Min.X + vg.Length(a)*(box.Size().X-f.Width(l))
		top := box.Max.Y - vg.Length(i)*lead
		y := top - (lead+ext.Ascent-ext.Descent)/2
		c.FillString(*f, vg.Point{X: x, Y: y}, l)
	}
}

// drawUpright writes one line turned a quarter left, centred on at.
func drawUpright(c draw.Canvas, s string, size vg.Length, col color.Color, at vg.Point) {
	f := face(size)
	ext := f.Extents()
	c.SetColor(col)
	c.Push()
	c.Translate(at)
	c.Rotate(math.Pi / 2)
	c.FillString(*f, vg.Point{X: -f.Width(s) / 2, Y: -(ext.Ascent - ext.Descent) / 2}, s)
	c.Pop()
}

func rect(x0, y0, x1, y1 vg.Length) vg.Rectangle {
	return vg.Rectangle{Min: vg.Point{X: x0, Y: y0}, Max: vg.Point{X: x1, Y: y1}}
}

func grow(r vg.Rectangle, by vg.Length) vg.Rectangle {
	return rect(r.Min.X-by, r.Min.Y-by, r.Max.X+by, r.Max.Y+by)
}

func fillRect(c draw.Canvas, col color.Color, r vg.Rectangle) {
	c.FillPolygon(col, []vg.Point{
		r.Min, {X: r.Max.X, Y: r.Min.Y}, r.Max, {X: r.Min.X, Y: r.Max.Y},
	})
}
