package film

import (
	"context"
	"errors"
	"image"
	"image/color"
	"math"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// area sums what a mark covers of a canvas, in pixels.
func area(t *testing.T, m mark) float64 {
	t.Helper()
	canvas := image.NewRGBA(image.Rect(0, 0, 200, 200))
	white, black := color.RGBA{255, 255, 255, 255}, color.RGBA{A: 255}
	m.fill, m.pen.colour = black, black
	newPainter(canvas.Rect.Max).paint(canvas, white, []mark{m})
	sum := 0.0
	for i := 0; i < len(canvas.Pix); i += 4 {
		sum += 1 - float64(canvas.Pix[i])/255
	}
	return sum
}

// Areas that are known tell that curves, arcs, corners and pens are where they should be.
func TestShapesCoverWhatTheyShould(t *testing.T) {
	t.Parallel()
	path := func(d string) *outline {
		o, err := parsePath(d)
		require.NoError(t, err)
		return o
	}
	fill := func(d string) mark { return mark{shape: path(d), at: scaling(1), filled: true} }
	drawn := func(d string, p pen) mark { return mark{shape: path(d), at: scaling(1), pen: p} }
	circle := &outline{}
	circle.ellipse(point{100, 100}, 60, 60)
	for name, c := range map[string]struct {
		m    mark
		want float64
	}{
		"circle":                   {mark{shape: circle, at: scaling(1), filled: true}, math.Pi * 60 * 60},
		"half circle, by arc":      {fill("M40 100A60 60 0 0 1 160 100Z"), math.Pi * 60 * 60 / 2},
		"three quarters, by arc":   {fill("M160 100A60 60 0 1 1 100 40V100Z"), 0.75 * math.Pi * 60 * 60},
		"relative and implicit":    {fill("m10 10 80 0v50h-80z"), 80 * 50},
		"signs apart by nothing":   {fill("M50-10H150V110H50Z"), 100 * 110},
		"parabola":                 {fill("M20 20Q100 180 180 20Z"), 2. / 3 * 160 * 80},
		"two parts":                {fill("M10 10H20V20H10ZM30 30H40V40H30Z"), 200},
		"scaled":                   {mark{shape: path("M10 10H20V20H10Z"), at: scaling(3), filled: true}, 900},
		"rounded corners":          {mark{shape: rectangle(20, 20, 100, 80, 10), at: scaling(1), filled: true}, 100*80 - (4-math.Pi)*100},
		"line":                     {drawn("M20 100H180", pen{width: 8}), 160 * 8},
		"round ends":               {drawn("M20 100H180", pen{width: 8, roundEnd: true}), 160*8 + math.Pi*16},
		"dashes":                   {drawn("M20 100H180", pen{width: 8, dash: []float64{10, 30}}), 4 * 10 * 8},
		"square with its corners":  {drawn("M50 50H150V150H50Z", pen{width: 10}), 110*110 - 90*90},
		"the other way round":      {drawn("M50 50V150H150V50Z", pen{width: 10}), 110*110 - 90*90},
		"square with round ones":   {drawn("M50 50H150V150H50Z", pen{width: 10, join: rounded}), 110*110 - 90*90 - (4-math.Pi)*25},
		"too sharp for its corner": {drawn("M20 100H180L20 101", pen{width: 6}), 160*6 + 80},
	} {
		assert.InEpsilon(t, c.want, area(t, c.m), 0.01, name)
	}
}

func TestMarksAreClipped(t *testing.T) {
	t.Parallel()
	inner := &outline{}
	inner.ellipse(point{100, 100}, 40, 40)
	m := mark{shape: rectangle(0, 0, 200, 200, 0), at: scaling(1), filled: true, clip: &clip{inner, scaling(1)}}
	assert.InEpsilon(t, math.Pi*40*40, area(t, m), 0.01)
}

// A group lets through what is under it, once where its marks lie over each other.
func TestGroupIsThin(t *testing.T) {
	t.Parallel()
	canvas := image.NewRGBA(image.Rect(0, 0, 20, 20))
	box := mark{shape: rectangle(5, 5, 10, 10, 0), at: scaling(1), filled: true, fill: color.RGBA{A: 255}}
	newPainter(canvas.Rect.Max).paint(canvas, color.RGBA{200, 200, 200, 255}, []mark{{group: &group{2, 0.25}}, box, box})
	assert.InDelta(t, 150, float64(canvas.RGBAAt(10, 10).R), 1)
	assert.Equal(t, uint8(200), canvas.RGBAAt(2, 2).R)
}

// What a painter has kept of earlier pictures changes nothing.
func TestPainterForgetsEarlierPictures(t *testing.T) {
	t.Parallel()
	size := image.Pt(60, 60)
	rapid.Check(t, func(t *rapid.T) {
		var shapes []*outline
		for range 4 {
			x, y := rapid.Float64Range(-5, 50).Draw(t, "x"), rapid.Float64Range(-5, 50).Draw(t, "y")
			shapes = append(shapes, rectangle(x, y, 12, 9, 3))
		}
		kept := newPainter(size)
		for range 4 {
			var marks []mark
			for range rapid.IntRange(0, 6).Draw(t, "marks") {
				m := mark{shape: rapid.SampledFrom(shapes).Draw(t, "shape"), at: scaling(rapid.SampledFrom([]float64{1, 1.5}).Draw(t, "scale"))}
				if rapid.Bool().Draw(t, "filled") {
					m.filled, m.fill = true, color.RGBA{50, 90, 10, 255}
				} else {
					m.pen = pen{colour: color.RGBA{200, 3, 9, 255}, width: rapid.SampledFrom([]float64{1, 2}).Draw(t, "width")}
				}
				marks = append(marks, m)
			}
			a, b := image.NewRGBA(image.Rectangle{Max: size}), image.NewRGBA(image.Rectangle{Max: size})
			kept.paint(a, color.RGBA{255, 255, 255, 255}, marks)
			newPainter(size).paint(b, color.RGBA{255, 255, 255, 255}, marks)
			if !assert.ObjectsAreEqual(a.Pix, b.Pix) {
				t.Fatal("a painter that painted before paints otherwise")
			}
		}
	})
}

func TestRulesOfTheStyles(t *testing.T) {
	t.Parallel()
	sheet := parseStyles(`/* a { fill: red } */
		:root { --ink: #123; --far: rgb(1,2,3) }
		@media (min-width: 1px) { .box { fill: #ffffff } }
		#plan text, .other { fill: var(--ink); font-size: 18px }
		.box { stroke: var(--far); stroke-width: 3; }
		.box.wide { stroke-width: 4 }
		:root[data-theme="dark"] .box { stroke: #ffffff }
		.plain #plan .box { display: none }`)
	root, plan, text, box := newNode("svg"), newNode("g"), newNode("text"), newNode("rect")
	plan.attributes["id"] = "plan"
	box.ClassList.set("wide box")
	s := &shooter{sheet: sheet}
	look := func(chain ...*node) style {
		s.chain = chain
		return s.styleOf(chain[len(chain)-1], firstStyle())
	}
	assert.Equal(t, "#123", look(root, plan, text).fill)
	assert.Equal(t, 18., look(root, plan, text).size)
	assert.Equal(t, "#000000", look(root, newNode("text")).fill, "not within the plan")
	got := look(root, plan, box)
	assert.Equal(t, "rgb(1,2,3)", got.stroke)
	assert.Equal(t, 4., got.width)
	assert.Empty(t, got.display)
	c, ok := parseColour("#123")
	assert.True(t, ok)
	assert.Equal(t, color.RGBA{0x11, 0x22, 0x33, 255}, c)
	_, ok = parseColour("none")
	assert.False(t, ok)
}

func TestInOrder(t *testing.T) {
	t.Parallel()
	var got []int
	worker := func() func(int) (int, error) { return func(a int) (int, error) { return a * a, nil } }
	same := func(i int) (int, error) { return i, nil }
	take := func(i, b int) error {
		got = append(got, b)
		assert.Len(t, got, i+1)
		return nil
	}
	require.NoError(t, inOrder(t.Context(), 100, worker, same, take))
	for i, b := range got {
		assert.Equal(t, i*i, b)
	}

	broken := errors.New("broken")
	at := func(n int) func(int) (int, error) {
		return func(i int) (int, error) {
			if i == n {
				return 0, broken
			}
			return i, nil
		}
	}
	count := func(int, int) error { return nil }
	require.ErrorIs(t, inOrder(t.Context(), 100, worker, at(40), count), broken, "in what is prepared")
	require.ErrorIs(t, inOrder(t.Context(), 100, func() func(int) (int, error) { return at(40) }, same, count), broken, "in the work")
	require.ErrorIs(t, inOrder(t.Context(), 100, worker, same, func(i, _ int) error {
		if i == 40 {
			return broken
		}
		return nil
	}), broken, "in what takes")

	ctx, cancel := context.WithCancel(t.Context())
	var prepared atomic.Int32
	err := inOrder(ctx, 1_000_000, worker, func(i int) (int, error) {
		prepared.Add(1)
		return i, nil
	}, func(i, _ int) error {
		if i == 10 {
			cancel()
		}
		return nil
	})
	require.ErrorIs(t, err, context.Canceled)
	assert.Less(t, prepared.Load(), int32(1000))
}
