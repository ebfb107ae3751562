package chart

import (
	"fmt"
	"image/color"
	"slices"
	"strings"

	"kneepoint/sim/answer"
)

// darkPaper is what a picture is drawn on where the page around it is dark.
var darkPaper = color.NRGBA{R: 0x1B, G: 0x20, B: 0x27, A: 0xFF}

// darkColors gives what each colour of a picture becomes on dark paper: the same hue,
// light instead of dark, in the same order of contrast.
func darkColors() map[color.NRGBA]color.NRGBA {
	dark := map[color.NRGBA]color.NRGBA{
		paper:     darkPaper,
		ink:       {R: 0xEC, G: 0xEE, B: 0xF0, A: 0xFF},
		gridInk:   {R: 0x2E, G: 0x35, B: 0x3E, A: 0xFF},
		axisInk:   {R: 0x8A, G: 0x94, B: 0x9E, A: 0xFF},
		levelInk:  {R: 0xE3, G: 0xC0, B: 0x7C, A: 0xFF},
		MarkColor: {R: 0xF5, G: 0x8A, B: 0xBF, A: 0xFF},
	}
	roles := map[answer.Role]color.NRGBA{
		answer.Main:      {R: 0x8F, G: 0xBC, B: 0xF5, A: 0xFF},
		answer.Second:    {R: 0xF5, G: 0xA3, B: 0x5B, A: 0xFF},
		answer.Third:     {R: 0x4F, G: 0xB3, B: 0xCB, A: 0xFF},
		answer.Reference: {R: 0xAA, G: 0xB3, B: 0xBC, A: 0xFF}, // faintInk too
		answer.Shadow:    {R: 0x6C, G: 0x80, B: 0x9C, A: 0xFF},
	}
	for role, to := range roles {
		for _, share := range append([]float64{0}, fades()...) {
			dark[lighter(roleColor(role), share)] = mix(to, darkPaper, share)
		}
	}
	tints := []color.NRGBA{
		{R: 0x26, G: 0x2F, B: 0x3B, A: 0xFF},
		{R: 0x3A, G: 0x32, B: 0x26, A: 0xFF},
		{R: 0x22, G: 0x36, B: 0x2D, A: 0xFF},
		{R: 0x36, G: 0x2B, B: 0x39, A: 0xFF},
	}
	for i, tint := range spanTints {
		dark[tint] = tints[i]
	}
	return dark
}

// DarkCSS has the pictures of Inline fit a dark page: rules for one media query.
func DarkCSS() string {
	var rules []string
	for from, to := range darkColors() {
		for _, property := range []string{"fill", "stroke"} {
			rules = append(rules, fmt.Sprintf(".%s [%s=%q]{%s:%s}", adaptive, property, hex(from), property, hex(to)))
		}
	}
	slices.Sort(rules)
	return strings.Join(rules, "\n")
}

// hex prints a colour as the SVG writer does.
func hex(c color.NRGBA) string { return fmt.Sprintf("#%02X%02X%02X", c.R, c.G, c.B) }
