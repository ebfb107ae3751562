package chart

import (
	"image/color"

	"kneepoint/sim/answer"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// MarkColor is the colour of a mark's point, which nothing else in a picture has.
var MarkColor = color.NRGBA{R: 0xB0, G: 0x12, B: 0x5B, A: 0xFF}

// All colours are opaque: the PDF canvas darkens what is not.
var (
	ink      = color.NRGBA{R: 0x22, G: 0x26, B: 0x2B, A: 0xFF}
	faintInk = color.NRGBA{R: 0x5A, G: 0x62, B: 0x6B, A: 0xFF}
	gridInk  = color.NRGBA{R: 0xE3, G: 0xE6, B: 0xE9, A: 0xFF}
	axisInk  = color.NRGBA{R: 0x80, G: 0x88, B: 0x90, A: 0xFF}
	levelInk = color.NRGBA{R: 0x6B, G: 0x4A, B: 0x12, A: 0xFF}
	paper    = color.NRGBA{R: 0xFF, G: 0xFF, B: 0xFF, A: 0xFF}
)

// The first three roles step evenly in lightness, so that they stay apart in grey,
// and lie on the blue-yellow axis, which red-green colour blindness leaves alone.
var roleColors = map[answer.Role]color.NRGBA{
	answer.Main:      {R: 0x12, G: 0x3C, B: 0x78, A: 0xFF},
	answer.Second:    {R: 0xBF, G: 0x51, B: 0x0A, A: 0xFF},
	answer.Third:     {R: 0x2C, G: 0x98, B: 0xB4, A: 0xFF},
	answer.Reference: {R: 0x5A, G: 0x62, B: 0x6B, A: 0xFF},
	answer.Shadow:    {R: 0x8F, G: 0xA3, B: 0xBF, A: 0xFF},
}

// Tints of spans, by the order in which their labels appear.
var spanTints = []color.NRGBA{
	{R: 0xE4, G: 0xEA, B: 0xF1, A: 0xFF},
	{R: 0xF6, G: 0xEC, B: 0xDB, A: 0xFF},
	{R: 0xE2, G: 0xF0, B: 0xE8, A: 0xFF},
	{R: 0xEE, G: 0xE6, B: 0xF0, A: 0xFF},
}

func roleColor(r answer.Role) color.NRGBA {
	if c, ok := roleColors[r]; ok {
		return c
	}
	return roleColors[answer.Reference]
}

// strokes are the dash patterns in points; repeats of a role within a panel take
// them in turn, each role beginning at its own.
var strokes = [][]vg.Length{
	nil,
	{10, 4},
	{7, 3, 1.5, 3},
	{2.5, 2.5},
	{14, 3, 3, 3, 3, 3},
}

// roleLine is the line of the repeat-th curve (from 0) of a role in one panel.
func roleLine(r answer.Role, repeat int) draw.LineStyle {
	s := draw.LineStyle{Color: roleColor(r), Width: 2.2}
	first := 0
	switch r {
	case answer.Main:
	case answer.Second:
		first = 1
	case answer.Third:
		first = 2
	case answer.Shadow:
		// One of many: they are meant to look alike.
		s.Width = 1.5
		return s
	default:
		s.Width, first = 1.2, 3
	}
	s.Dashes = strokes[(first+repeat)%len(strokes)]
	if repeat > 0 {
		s.Color = lighter(roleColor(r), fade(repeat))
	}
	return s
}

// fade is how far the repeat-th curve of a role, from 0, is mixed with the paper.
func fade(repeat int) float64 { return min(0.16*float64(repeat), mostFade) }

const mostFade = 0.5

// fades are all there are above 0.
func fades() []float64 {
	var all []float64
	for repeat := 1; len(all) == 0 || all[len(all)-1] < mostFade; repeat++ {
		all = append(all, fade(repeat))
	}
	return all
}

// lighter mixes c with white.
func lighter(c color.NRGBA, share float64) color.NRGBA {
	return mix(c, paper, share)
}

// mix goes from a (share 0) to b (share 1).
func mix(a, b color.NRGBA, share float64) color.NRGBA {
	at := func(x, y uint8) uint8 { return uint8(float64(x) + share*(float64(y)-float64(x)) + 0.5) }
	return color.NRGBA{R: at(a.R, b.R), G: at(a.G, b.G), B: at(a.B, b.B), A: at(a.A, b.A)}
}

// fieldStops run from light to dark, so that a field reads in grey too.
var fieldStops = []color.NRGBA{
	{R: 0xFB, G: 0xF6, B: 0xE3, A: 0xFF},
	{R: 0xD5, G: 0xE2, B: 0xB8, A: 0xFF},
	{R: 0x86, G: 0xBF, B: 0xB0, A: 0xFF},
	{R: 0x3F, G: 0x87, B: 0xA6, A: 0xFF},
	{R: 0x1B, G: 0x42, B: 0x7C, A: 0xFF},
}

// fieldColor is the colour at share 0 (least) to 1 (most).
func fieldColor(share float64) color.NRGBA {
	at := min(max(share, 0), 1) * float64(len(fieldStops)-1)
	i := min(int(at), len(fieldStops)-2)
	return mix(fieldStops[i], fieldStops[i+1], at-float64(i))
}
