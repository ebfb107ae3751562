package chart

import (
	"encoding/xml"
	"errors"
	"io"
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

var inlineFigures = map[string]answer.Figure{
	"force": forceFigure(), "time": timeFigure(), "bars": barFigure(), "field": fieldFigure(),
}

func inlined(t *testing.T, fig answer.Figure, width float64) string {
	t.Helper()
	svg, err := Inline(fig, si.US, width, "fig-1")
	require.NoError(t, err)
	return svg
}

// Nothing in it refers to anything but itself, or needs a style that a strict policy refuses.
func TestInlineStandsAlone(t *testing.T) {
	for name, fig := range inlineFigures {
		for _, width := range []float64{360, 648} {
			svg := inlined(t, fig, width)
			assert.True(t, strings.HasPrefix(svg, `<svg viewBox="0 0 `), name)
			ids := map[string]bool{}
			d := xml.NewDecoder(strings.NewReader(svg))
			for {
				token, err := d.Token()
				if errors.Is(err, io.EOF) {
					break
				}
				require.NoError(t, err, name)
				start, ok := token.(xml.StartElement)
				if !ok {
					continue
				}
				assert.Contains(t, []string{"svg", "title", "desc", "g", "path", "text"}, start.Name.Local, name)
				for _, a := range start.Attr {
					assert.NotContains(t, []string{"style", "href", "font-family", "width", "height"}, a.Name.Local, name)
					assert.NotContains(t, a.Value, "url(", name)
					if a.Name.Local == "id" {
						assert.True(t, strings.HasPrefix(a.Value, "fig-1-"), name)
						assert.False(t, ids[a.Value], name)
						ids[a.Value] = true
					}
				}
			}
			assert.Len(t, ids, 2, name)
		}
	}
}

// A colour without a dark counterpart would stay dark on dark.
func TestEveryColorHasADarkOne(t *testing.T) {
	css := DarkCSS()
	colors := regexp.MustCompile(`(?:fill|stroke)="#[0-9A-F]{6}"`)
	for name, fig := range inlineFigures {
		svg := inlined(t, fig, 648)
		assert.Equal(t, name != "field", strings.Contains(svg, adaptive), name)
		if name == "field" {
			continue
		}
		found := colors.FindAllString(svg, -1)
		require.NotEmpty(t, found, name)
		for _, c := range found {
			assert.Contains(t, css, "["+c+"]", name)
		}
	}
	many := forceFigure()
	for range 9 {
		many.Panels[0].Curves = append(many.Panels[0].Curves, many.Panels[0].Curves[0])
	}
	for _, c := range colors.FindAllString(inlined(t, many, 648), -1) {
		assert.Contains(t, css, "["+c+"]", "many curves of one role")
	}
}

// What is held to white paper is held to dark paper.
func TestDarkColorsKeepTheirContrast(t *testing.T) {
	dark := darkColors()
	contrast := func(a, b float64) float64 { return (math.Max(a, b) + 0.05) / (math.Min(a, b) + 0.05) }
	for _, role := range []answer.Role{answer.Main, answer.Second, answer.Third, answer.Reference, answer.Shadow} {
		assert.GreaterOrEqual(t, contrast(luminance(dark[roleColor(role)]), luminance(darkPaper)), 3.0, "role %d", role)
	}
	papers := []float64{luminance(darkPaper)}
	for _, tint := range spanTints {
		papers = append(papers, luminance(dark[tint]))
	}
	for _, text := range []float64{luminance(dark[ink]), luminance(dark[faintInk]), luminance(dark[levelInk]), luminance(dark[MarkColor])} {
		for _, paper := range papers {
			assert.GreaterOrEqual(t, contrast(text, paper), 4.5)
		}
	}
}

func TestDescribeSaysWhatIsDrawn(t *testing.T) {
	text := Describe(forceFigure(), si.US)
	assert.Contains(t, text, "Line pressure over pedal force: pressing lies within 0 to 1190 psi, from 0 to 117 lbf")
	assert.Contains(t, text, "marked: jump-in at 10 lbf, 130 psi")
	assert.Contains(t, text, "line: force limit at 112 lbf")
	assert.Contains(t, Describe(timeFigure(), si.SI), "shaded: engine off, 30.0 to 60.0 s")
	assert.Contains(t, Describe(barFigure(), si.SI), "front shell leaks: 0.62 (0.50 to 0.71); ")
	assert.Contains(t, Describe(fieldFigure(), si.SI), "Line pressure at the knee lies within ")
	assert.Equal(t, "Time: nothing to show.", Describe(answer.Figure{Panels: []answer.Panel{{X: answer.Axis{Label: "Time"}}}}, si.SI))
}
