package chart

import (
	"image/color"
	"math"
	"testing"

	"kneepoint/sim/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// luminance is the relative luminance of WCAG 2.1 (published text, from memory: sRGB
// linearized, weights 0.2126, 0.7152, 0.0722).
func luminance(c color.NRGBA) float64 {
	r, g, b := linear(c)
	return 0.2126*r + 0.7152*g + 0.0722*b
}

func linear(c color.NRGBA) (r, g, b float64) {
	at := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return at(c.R), at(c.G), at(c.B)
}

// lightness is L* of CIE 1976 (ISO/CIE 11664-4, from memory).
func lightness(c color.NRGBA) float64 { return 116*labRoot(luminance(c)) - 16 }

func labRoot(t float64) float64 {
	if t > 216.0/24389 {
		return math.Cbrt(t)
	}
	return (24389.0/27*t + 16) / 116
}

// dichromat is the colour as one without red or without green cones sees it, in linear
// RGB, by Viénot, Brettel and Mollon 1999 (from memory: single-matrix method).
func dichromat(c color.NRGBA, protan bool) [3]float64 {
	r, g, b := linear(c)
	if protan {
		return [3]float64{0.11238*r + 0.88762*g, 0.11238*r + 0.88762*g, 0.00401*r - 0.00401*g + b}
	}
	return [3]float64{0.29275*r + 0.70725*g, 0.29275*r + 0.70725*g, -0.02234*r + 0.02234*g + b}
}

// labDistance is the distance in CIE L*a*b* of two linear RGB colours, sRGB primaries.
func labDistance(p, q [3]float64) float64 {
	lab := func(v [3]float64) (l, a, b float64) {
		x := (0.4124*v[0] + 0.3576*v[1] + 0.1805*v[2]) / 0.9505
		y := 0.2126*v[0] + 0.7152*v[1] + 0.0722*v[2]
		z := (0.0193*v[0] + 0.1192*v[1] + 0.9505*v[2]) / 1.089
		return 116*labRoot(y) - 16, 500 * (labRoot(x) - labRoot(y)), 200 * (labRoot(y) - labRoot(z))
	}
	l0, a0, b0 := lab(p)
	l1, a1, b1 := lab(q)
	return math.Sqrt((l0-l1)*(l0-l1) + (a0-a1)*(a0-a1) + (b0-b1)*(b0-b1))
}

func TestRolesTellApart(t *testing.T) {
	ranked := []answer.Role{answer.Main, answer.Second, answer.Third}
	for i, a := range ranked {
		// WCAG 2.1, success criterion 1.4.11: graphics have a contrast of 3 to 1.
		assert.GreaterOrEqual(t, 1.05/(luminance(roleColor(a))+0.05), 3.0, "role %d on white", a)
		for _, b := range ranked[:i] {
			p, q := roleColor(a), roleColor(b)
			assert.Greater(t, math.Abs(lightness(p)-lightness(q)), 9.0, "roles %d and %d in grey", a, b)
			assert.NotEqual(t, roleLine(a, 0).Dashes, roleLine(b, 0).Dashes, "roles %d and %d by line", a, b)
			for _, protan := range []bool{true, false} {
				// About 2 is just noticeable; lines a few points apart need many times that.
				assert.Greater(t, labDistance(dichromat(p, protan), dichromat(q, protan)), 25.0, "roles %d and %d", a, b)
			}
		}
	}
}

func TestRepeatsOfARoleTellApart(t *testing.T) {
	for k := range len(strokes) {
		for j := range k {
			assert.NotEqual(t, roleLine(answer.Main, j).Dashes, roleLine(answer.Main, k).Dashes)
		}
	}
	assert.Equal(t, roleLine(answer.Shadow, 0), roleLine(answer.Shadow, 7), "one of many looks like the others")
}

func TestFieldDarkensAllTheWay(t *testing.T) {
	for k := 1; k <= 20; k++ {
		lighter, darker := lightness(fieldColor(float64(k-1)/20)), lightness(fieldColor(float64(k)/20))
		require.Greater(t, lighter, darker+1, "step %d", k)
	}
}

func TestNothingElseHasTheColorOfMarks(t *testing.T) {
	for _, c := range roleColors {
		assert.NotEqual(t, MarkColor, c)
	}
	for _, c := range []color.NRGBA{ink, faintInk, gridInk, axisInk, levelInk, paper} {
		assert.NotEqual(t, MarkColor, c)
	}
}
