package chart

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"strings"
	"testing"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var exampleFigures = []func() answer.Figure{forceFigure, timeFigure, barFigure, fieldFigure}

func rendered(t *testing.T, fig answer.Figure, format string) ([]byte, Layout) {
	t.Helper()
	var b bytes.Buffer
	l, err := RenderLayout(fig, si.US, format, Size{}, &b)
	require.NoError(t, err)
	return b.Bytes(), l
}

func pixels(t *testing.T, data []byte) image.Image {
	t.Helper()
	img, err := png.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	return img
}

func colorAt(img image.Image, x, y float64) color.NRGBA {
	return color.NRGBAModel.Convert(img.At(int(x), int(y))).(color.NRGBA)
}

func TestSameBytesEveryTime(t *testing.T) {
	for _, figure := range exampleFigures {
		for _, format := range Formats {
			first, _ := rendered(t, figure(), format)
			for range 2 {
				again, _ := rendered(t, figure(), format)
				require.True(t, bytes.Equal(first, again), "%s as %s", figure().Name, format)
			}
		}
	}
}

func TestNoTimeInPDF(t *testing.T) {
	data, _ := rendered(t, forceFigure(), "pdf")
	assert.True(t, bytes.HasPrefix(data, []byte("%PDF-")))
	assert.Contains(t, string(data), "/CreationDate (D:20000101000000")
	assert.Contains(t, string(data), "/ModDate (D:20000101000000")
}

func TestSVGIsWellFormed(t *testing.T) {
	fig := forceFigure()
	fig.Title = `5 < 6 & "so on"`
	data, _ := rendered(t, fig, "svg")
	d := xml.NewDecoder(bytes.NewReader(data))
	var text strings.Builder
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		if c, ok := tok.(xml.CharData); ok {
			text.Write(c)
		}
	}
	for _, want := range []string{fig.Title, "Pedal force (lbf)", "Line pressure (psi)", "force limit", "knee: 52 lbf, 960 psi"} {
		assert.Contains(t, text.String(), want)
	}
}

// The point that is seen is the point that was given: its colour is found in the PNG
// where the data axes put its coordinates.
func TestMarkIsWhereItsDataSays(t *testing.T) {
	fig := forceFigure()
	fig.Panels[0].X.From, fig.Panels[0].X.To = 0, 600
	fig.Panels[0].Y.From, fig.Panels[0].Y.To = 0, 10e6
	data, l := rendered(t, fig, "png")
	img := pixels(t, data)
	require.Equal(t, float64(img.Bounds().Dx()), math.Round(l.Width))
	require.Equal(t, float64(img.Bounds().Dy()), math.Round(l.Height))
	require.Len(t, l.Marks, 2)
	area := l.Panels[0]
	for _, place := range l.Marks {
		m := fig.Panels[place.Panel].Marks[place.Index]
		x := area.MinX + m.X/600*(area.MaxX-area.MinX)
		y := area.MaxY - m.Y/10e6*(area.MaxY-area.MinY)
		assert.InDelta(t, x, place.X, 1e-6)
		assert.InDelta(t, y, place.Y, 1e-6)
		assert.Equal(t, MarkColor, colorAt(img, place.X, place.Y))
		left, right, top, bottom := markEdges(img, place)
		assert.InDelta(t, place.X, (left+right)/2, 1, "centre of the blob")
		assert.InDelta(t, place.Y, (top+bottom)/2, 1, "centre of the blob")
	}
	// The axes themselves are where the layout says.
	assert.Equal(t, axisInk, colorAt(img, area.MinX-1, area.MinY+9), "vertical axis")
}

// markEdges are the ends of the mark's colour, along both lines through its middle.
func markEdges(img image.Image, at MarkPlace) (left, right, top, bottom float64) {
	left, right, top, bottom = at.X, at.X, at.Y, at.Y
	for colorAt(img, left-1, at.Y) == MarkColor {
		left--
	}
	for colorAt(img, right+1, at.Y) == MarkColor {
		right++
	}
	for colorAt(img, at.X, top-1) == MarkColor {
		top--
	}
	for colorAt(img, at.X, bottom+1) == MarkColor {
		bottom++
	}
	return left, right, top, bottom
}

func TestMarkKeepsItsPlaceInBothSystems(t *testing.T) {
	places := map[si.System]Layout{}
	for _, units := range []si.System{si.SI, si.US} {
		fig := forceFigure()
		fig.Panels[0].X.From, fig.Panels[0].X.To = 0, 600
		fig.Panels[0].Y.From, fig.Panels[0].Y.To = 0, 10e6
		l, err := RenderLayout(fig, units, "svg", Size{Width: 600, Height: 400}, io.Discard)
		require.NoError(t, err)
		places[units] = l
	}
	share := func(l Layout, i int) (x, y float64) {
		a := l.Panels[0]
		return (l.Marks[i].X - a.MinX) / (a.MaxX - a.MinX), (l.Marks[i].Y - a.MinY) / (a.MaxY - a.MinY)
	}
	for i := range 2 {
		x0, y0 := share(places[si.SI], i)
		x1, y1 := share(places[si.US], i)
		assert.InDelta(t, x0, x1, 1e-9)
		assert.InDelta(t, y0, y1, 1e-9)
	}
}

func TestMarkOutsideAFixedRangeIsNotDrawn(t *testing.T) {
	fig := forceFigure()
	fig.Panels[0].X.From, fig.Panels[0].X.To = 0, 100
	data, l := rendered(t, fig, "png")
	require.Len(t, l.Marks, 1)
	assert.Equal(t, 1, l.Marks[0].Index)
	assert.NotEmpty(t, data)
}

func TestPanelsAreAligned(t *testing.T) {
	_, l := rendered(t, timeFigure(), "png")
	require.Len(t, l.Panels, 3)
	for i := 1; i < 3; i++ {
		assert.InDelta(t, l.Panels[0].MinX, l.Panels[i].MinX, 1e-6)
		assert.InDelta(t, l.Panels[0].MaxX, l.Panels[i].MaxX, 1e-6)
		assert.Greater(t, l.Panels[i].MinY, l.Panels[i-1].MaxY)
	}
}

func TestTextStaysInsideAndApart(t *testing.T) {
	for _, figure := range exampleFigures {
		_, l := rendered(t, figure(), "png")
		assertTidy(t, l)
	}
}

func assertTidy(t assert.TestingT, l Layout) {
	for i, a := range l.Texts {
		assert.GreaterOrEqual(t, a.Box.MinX, 0.0, a.Text)
		assert.GreaterOrEqual(t, a.Box.MinY, 0.0, a.Text)
		assert.LessOrEqual(t, a.Box.MaxX, l.Width, a.Text)
		assert.LessOrEqual(t, a.Box.MaxY, l.Height, a.Text)
		for _, b := range l.Texts[:i] {
			apart := a.Box.MinX >= b.Box.MaxX || b.Box.MinX >= a.Box.MaxX ||
				a.Box.MinY >= b.Box.MaxY || b.Box.MinY >= a.Box.MaxY
			assert.True(t, apart, "%q lies on %q", a.Text, b.Text)
		}
		for _, m := range l.Marks {
			on := m.Panel == a.Panel && m.X > a.Box.MinX && m.X < a.Box.MaxX && m.Y > a.Box.MinY && m.Y < a.Box.MaxY
			assert.False(t, on, "%q lies on a mark", a.Text)
		}
	}
}

// A mark in any corner keeps its label in the picture and off the curve.
func TestLabelFindsRoom(t *testing.T) {
	for _, at := range [][2]float64{{0, 0}, {1, 1}, {0, 1}, {1, 0}, {0.5, 0.5}, {0.98, 0.97}} {
		fig := answer.Figure{Name: "corner", Panels: []answer.Panel{{
			Curves: []answer.Curve{{X: []float64{0, 1}, Y: []float64{0, 1}}},
			Marks:  []answer.Mark{{Label: "a point with a rather long label", X: at[0], Y: at[1]}},
		}}}
		_, l := rendered(t, fig, "png")
		assertTidy(t, l)
		require.Len(t, l.Texts, 1)
		b, a := l.Texts[0].Box, l.Panels[0]
		assert.GreaterOrEqual(t, b.MinX, a.MinX)
		assert.LessOrEqual(t, b.MaxX, a.MaxX)
		// The curve runs along the diagonal: both ends of the axis lie on data.
		diagonal := func(x float64) float64 { return a.MaxY - (x-a.MinX)/(a.MaxX-a.MinX)*(a.MaxY-a.MinY) }
		above := b.MaxY < diagonal(b.MaxX)
		below := b.MinY > diagonal(b.MinX)
		if top := 1.2; at[1] <= top { // the vertical axis ends above the data
			diagonal = func(x float64) float64 { return a.MaxY - (x-a.MinX)/(a.MaxX-a.MinX)*(a.MaxY-a.MinY)/top }
			above, below = b.MaxY < diagonal(b.MaxX), b.MinY > diagonal(b.MinX)
		}
		assert.True(t, above || below, "label of %v lies on the curve", at)
	}
}

func TestLegendLeavesTheDataWhenThereIsNoRoom(t *testing.T) {
	var x, y []float64
	for i := range 2000 {
		x, y = append(x, float64(i)), append(y, math.Sin(float64(i)))
	}
	fig := answer.Figure{Name: "full", Panels: []answer.Panel{{
		Y:      answer.Axis{From: -1, To: 1},
		Curves: []answer.Curve{{Label: "one", X: x, Y: y}, {Label: "two", X: x, Y: y, Role: answer.Second}},
	}}}
	_, busy := rendered(t, fig, "png")
	for i := range fig.Panels[0].Curves {
		fig.Panels[0].Curves[i].Label = ""
	}
	_, bare := rendered(t, fig, "png")
	assert.Greater(t, busy.Panels[0].MinY, bare.Panels[0].MinY+20)
}

func TestWhatCannotBeDrawnIsRefused(t *testing.T) {
	curve := answer.Figure{Name: "f", Panels: []answer.Panel{{Curves: []answer.Curve{{Label: "c", X: []float64{1, 2}, Y: []float64{1}}}}}}
	err := Render(curve, si.SI, "png", io.Discard)
	assert.EqualError(t, err, `figure "f", panel 1, curve "c": 2 x values and 1 y values`)

	field := fieldFigure()
	field.Panels[0].Field.Z[3] = nil
	assert.ErrorContains(t, Render(field, si.SI, "png", io.Discard), "25 y values and 0 in column 4")

	assert.ErrorContains(t, Render(forceFigure(), si.SI, "bmp", io.Discard), "want png, svg or pdf")

	_, err = RenderLayout(forceFigure(), si.SI, "png", Size{Width: 10}, io.Discard)
	assert.ErrorContains(t, err, "120 to 7200")
}

type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { return 0, errors.New("disk full") }

func TestWriterErrorComesBack(t *testing.T) {
	assert.EqualError(t, Render(forceFigure(), si.SI, "svg", brokenWriter{}), "disk full")
}

func TestNothingToShow(t *testing.T) {
	for _, fig := range []answer.Figure{
		{},
		{Panels: []answer.Panel{{}}},
		{SharedX: true, Panels: make([]answer.Panel, 4)},
		{Panels: []answer.Panel{{Curves: []answer.Curve{{Label: "c", X: []float64{math.NaN()}, Y: []float64{1}}}}}},
		{Panels: []answer.Panel{{Field: &answer.Field{}}}},
	} {
		for _, format := range Formats {
			_, l := rendered(t, fig, format)
			require.NotEmpty(t, l.Texts)
			assert.Equal(t, "nothing to show", l.Texts[0].Text)
		}
	}
}

// A text of combining signs alone has no width: it has no place of its own to keep
// others from, and is left out.
func TestTextWithoutWidthIsLeftOut(t *testing.T) {
	fig := answer.Figure{Panels: []answer.Panel{{
		Curves: []answer.Curve{{X: []float64{0, 1}, Y: []float64{0, 1}}},
		Marks:  []answer.Mark{{Label: "\u0303\u202e", X: 0.5, Y: 0.2}, {Label: "knee", X: 0.5, Y: 0.2}},
	}}}
	_, l := rendered(t, fig, "png")
	for _, text := range l.Texts {
		assert.NotEqual(t, "\u0303\u202e", text.Text)
	}
}

// Whatever the values are, a picture comes out and its axes are finite.
func TestAnyValues(t *testing.T) {
	value := rapid.OneOf(
		rapid.Float64(),
		rapid.Float64Range(-1e4, 1e7),
		rapid.SampledFrom([]float64{0, 1, -1, 1e300, -1e300, 1e-310, 1e16, 1e16 + 2, math.NaN(), math.Inf(1), math.Inf(-1)}),
	)
	label := rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{"", "knee", strings.Repeat("long ", 40), strings.Repeat("x", 300)}))
	dim := rapid.SampledFrom([]si.Dimension{si.DimNone, si.DimForce, si.DimVacuum, si.DimTemperature, si.DimArea})
	rapid.Check(t, func(rt *rapid.T) {
		axis := func(name string) answer.Axis {
			a := answer.Axis{Label: label.Draw(rt, name), Dim: dim.Draw(rt, name+" dimension")}
			if rapid.Bool().Draw(rt, name+" fixed") {
				a.From, a.To = value.Draw(rt, name+" from"), value.Draw(rt, name+" to")
			}
			return a
		}
		n := rapid.IntRange(0, 6).Draw(rt, "points")
		vs := func(name string) []float64 { return rapid.SliceOfN(value, n, n).Draw(rt, name) }
		p := answer.Panel{X: axis("x"), Y: axis("y")}
		for range rapid.IntRange(0, 3).Draw(rt, "curves") {
			p.Curves = append(p.Curves, answer.Curve{
				Label: label.Draw(rt, "curve"), X: vs("xs"), Y: vs("ys"),
				Role: answer.Role(rapid.IntRange(0, 9).Draw(rt, "role")), Dots: rapid.Bool().Draw(rt, "dots"),
			})
		}
		for _, v := range vs("marks") {
			p.Marks = append(p.Marks, answer.Mark{Label: label.Draw(rt, "mark"), X: v, Y: value.Draw(rt, "mark y")})
			p.Levels = append(p.Levels, answer.Level{Label: label.Draw(rt, "level"), Value: v, Vertical: v > 0})
			p.Spans = append(p.Spans, answer.Span{Label: label.Draw(rt, "span"), From: v, To: value.Draw(rt, "to")})
		}
		switch rapid.IntRange(0, 2).Draw(rt, "kind") {
		case 1:
			for _, v := range vs("bars") {
				p.Bars = append(p.Bars, answer.Bar{
					Label: label.Draw(rt, "bar"), Value: v, Low: value.Draw(rt, "low"), High: value.Draw(rt, "high"),
				})
			}
		case 2:
			f := &answer.Field{Label: label.Draw(rt, "field"), Levels: vs("levels")}
			for i := range n {
				f.X, f.Y = append(f.X, float64(i)), append(f.Y, float64(i*i))
				f.Z = append(f.Z, vs("column"))
			}
			p.Field = f
		}
		fig := answer.Figure{Title: label.Draw(rt, "title"), Note: label.Draw(rt, "note"), SharedX: true, Panels: []answer.Panel{p, {}}}
		format := rapid.SampledFrom(Formats).Draw(rt, "format")
		var b bytes.Buffer
		l, err := RenderLayout(fig, si.US, format, Size{Width: 300, Height: 300, DPI: 40}, &b)
		require.NoError(rt, err)
		for _, a := range l.Panels {
			require.Less(rt, a.MinX, a.MaxX)
			require.Less(rt, a.MinY, a.MaxY)
		}
		if len(p.Bars) == 0 {
			assertTidy(rt, l)
		}
		if format == "svg" {
			require.NotContains(rt, b.String(), "NaN")
			require.NotContains(rt, b.String(), "Inf")
		}
	})
}
