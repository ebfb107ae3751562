package chart

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/si"
)

// grid is z over -1..1 in both directions.
func grid(n int, z func(x, y float64) float64) *field {
	f := &field{}
	for i := range n {
		v := -1 + 2*float64(i)/float64(n-1)
		f.x, f.y = append(f.x, v), append(f.y, v)
	}
	for _, x := range f.x {
		var column []float64
		for _, y := range f.y {
			column = append(column, z(x, y))
		}
		f.z = append(f.z, column)
	}
	return f
}

// Of a cone the contour is one circle and the region below it a disc, whose length and
// area are known.
func TestContourOfACone(t *testing.T) {
	f := grid(201, func(x, y float64) float64 { return math.Hypot(x, y) })
	const r = 0.613
	lines := f.isolines(r)
	require.Len(t, lines, 1)
	line := lines[0]
	assert.Equal(t, line[0], line[len(line)-1], "closed")
	length := 0.0
	for i := 1; i < len(line); i++ {
		length += math.Hypot(line[i].x-line[i-1].x, line[i].y-line[i-1].y)
		assert.InDelta(t, r, math.Hypot(line[i].x, line[i].y), 1e-4)
	}
	assert.InEpsilon(t, 2*math.Pi*r, length, 2e-3)

	area := 0.0
	for _, polygon := range f.region(r) {
		for i, a := range polygon {
			b := polygon[(i+1)%len(polygon)]
			area += (a.x*b.y - b.x*a.y) / 2
		}
	}
	assert.InEpsilon(t, 4-math.Pi*r*r, area, 1e-4)
}

// A saddle's two lines do not cross, and a hole leaves a hole.
func TestContourOfASaddleAndOfAHole(t *testing.T) {
	f := grid(40, func(x, y float64) float64 { return x * y })
	assert.Len(t, f.isolines(0.1), 2)

	f = grid(21, func(x, y float64) float64 {
		if math.Hypot(x, y) < 0.3 {
			return math.NaN()
		}
		return x
	})
	assert.Len(t, f.isolines(0.05), 2, "cut in two by the hole")
	for _, polygon := range f.region(-2) {
		for _, at := range polygon {
			assert.False(t, math.IsNaN(at.x) || math.IsNaN(at.y))
		}
	}
}

// Levels that a study gives have the digits they need, and no more.
func TestContourLabelsEndInNoZeros(t *testing.T) {
	fig := fieldFigure()
	src := *fig.Panels[0].Field
	src.Dim, src.Levels = si.DimNone, []float64{0.5, 4.5, 12, 100}
	f := newField(&src, scale{unit: si.DimNone.Unit(si.SI)}, scale{unit: si.DimNone.Unit(si.SI)}, si.SI)
	require.NotNil(t, f)
	var labels []string
	for _, l := range f.levels {
		labels = append(labels, f.label(l))
	}
	assert.Equal(t, []string{"0.5", "4.5", "12", "100"}, labels)
}
