package study

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/si"
)

// polyline samples a force curve of straight pieces at n+1 equal steps of input.
func polyline(n int, top float64, corners ...[2]float64) []sim.State {
	states := make([]sim.State, n+1)
	for i := range states {
		x := top * float64(i) / float64(n)
		k := 0
		for k < len(corners)-2 && corners[k+1][0] < x {
			k++
		}
		a, b := corners[k], corners[k+1]
		y := a[1] + (x-a[0])*(b[1]-a[1])/(b[0]-a[0])
		states[i] = sim.State{Input: si.Force(x), Pedal: si.Force(x / 4), Output: si.Force(y), LineFront: si.Pressure(2e3 * y)}
	}
	return states
}

// boosted is a curve of straight pieces with a known knee: nothing up to the
// cut-in, a jump, the power line, the run-out line.
type boosted struct{ cut, jump, ratio, knee, runOut, top float64 }

func (b boosted) states(n int) []sim.State {
	const steep = 1.0 // N of input over which the output jumps
	atKnee := b.jump + b.ratio*(b.knee-b.cut)
	return polyline(n, b.top,
		[2]float64{0, 0}, [2]float64{b.cut, 0}, [2]float64{b.cut + steep, b.jump + b.ratio*steep},
		[2]float64{b.knee, atKnee}, [2]float64{b.top, atKnee + b.runOut*(b.top-b.knee)})
}

func TestLinesFindAKnownKnee(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := boosted{
			cut:    rapid.Float64Range(40, 150).Draw(t, "cut"),
			jump:   rapid.Float64Range(200, 900).Draw(t, "jump"),
			ratio:  rapid.Float64Range(2.5, 9).Draw(t, "ratio"),
			runOut: rapid.Float64Range(0.94, 1).Draw(t, "run-out"),
		}
		b.knee = b.cut + rapid.Float64Range(150, 1500).Draw(t, "knee")
		b.top = b.knee * rapid.Float64Range(1.3, 3).Draw(t, "top")
		power, runOut, knee, ok := lines(b.states(fineSteps), b.cut, b.ratio)
		require.True(t, ok)
		assert.InEpsilon(t, b.knee, knee, 1e-3)
		assert.InEpsilon(t, b.ratio, power.slope, 1e-3)
		assert.InEpsilon(t, b.runOut, runOut.slope, 1e-3)
		assert.InEpsilon(t, b.jump, power.at(b.cut), 5e-3)
	})
}

// Where the help ends as it begins there is no power line, and the knee is the cut-in.
func TestLinesWithoutAPowerLine(t *testing.T) {
	b := boosted{cut: 85, jump: 300, ratio: 1, knee: 90, runOut: 0.99, top: 2000}
	_, runOut, knee, ok := lines(b.states(fineSteps), b.cut, b.ratio)
	assert.False(t, ok)
	assert.Equal(t, b.cut, knee)
	assert.InEpsilon(t, 0.99, runOut.slope, 1e-3)
}

func TestFitIsTheLineThroughThePoints(t *testing.T) {
	states := polyline(100, 1000, [2]float64{0, -50}, [2]float64{1000, 3950})
	for _, c := range []struct {
		low, high float64
		ok        bool
	}{
		{300, 700, true}, {0, 1000, true}, {990, 1000, false}, {1100, 1200, false}, {500, 400, false},
	} {
		l, ok := fit(states, c.low, c.high)
		require.Equal(t, c.ok, ok, "%v", c)
		if ok {
			assert.InDelta(t, -50, l.offset, 1e-6)
			assert.InDelta(t, 4, l.slope, 1e-9)
		}
	}
}

func TestCrossing(t *testing.T) {
	a, b := straight{offset: -100, slope: 5}, straight{offset: 700, slope: 1}
	assert.InDelta(t, 200, a.crossing(b), 1e-9)
	assert.InDelta(t, 200, b.crossing(a), 1e-9)
	assert.InDelta(t, 900, a.at(200), 1e-9)
}

func TestWhere(t *testing.T) {
	states := polyline(10, 100, [2]float64{0, 0}, [2]float64{100, 500})
	for _, c := range []struct{ level, want float64 }{
		{-1, 0}, {0, 0}, {25, 5}, {250, 50}, {500, 100}, {501, math.NaN()},
	} {
		got := where(states, outputOf, inputOf, c.level)
		if math.IsNaN(c.want) {
			assert.True(t, math.IsNaN(got), "level %v: %v", c.level, got)
			continue
		}
		assert.InDelta(t, c.want, got, 1e-9, "level %v", c.level)
	}
	assert.InDelta(t, 0.1e6, where(states, inputOf, frontOf, 10), 1e-6)
	assert.True(t, math.IsNaN(where(nil, inputOf, frontOf, 10)), "of nothing")
}

// The first crossing counts, on a curve that falls again.
func TestWhereTakesTheFirst(t *testing.T) {
	states := polyline(40, 40, [2]float64{0, 0}, [2]float64{10, 100}, [2]float64{20, 0}, [2]float64{40, 200})
	assert.InDelta(t, 5, where(states, outputOf, inputOf, 50), 1e-9)
	assert.InDelta(t, 32, where(states, outputOf, inputOf, 120), 1e-9)
}

func TestBeginningIsWhereTheBoosterComesIn(t *testing.T) {
	// The rod pushes the hub along at a loss up to 60 N, then the booster joins in.
	states := polyline(1000, 200, [2]float64{0, 0}, [2]float64{60, 30}, [2]float64{70, 600}, [2]float64{200, 1200})
	assert.InDelta(t, 60.6, beginning(states), 0.3)
	// Without help it is where the output begins.
	unboosted := polyline(1000, 200, [2]float64{0, 0}, [2]float64{90, 0}, [2]float64{200, 100})
	assert.InDelta(t, 90+startsAt*1.1, beginning(unboosted), 1e-6)
	assert.InDelta(t, -startsAt, help(unboosted)-startsAt, 1e-9, "no help")
	assert.InDelta(t, 1000, help(states), 1e-9)
}

func TestBendIsFarthestAboveTheChord(t *testing.T) {
	b := boosted{cut: 80, jump: 600, ratio: 5, knee: 600, runOut: 0.995, top: 1500}
	assert.InDelta(t, b.knee, bend(b.states(1500), b.cut), 1.01)
}

func TestEffort(t *testing.T) {
	p := publishedFigures(t)
	assert.InEpsilon(t, float64(p.Effort.EasyTo.is), float64(verdict.EasyPedal), 1e-12)
	assert.InEpsilon(t, float64(p.Effort.HeavyTo.is), float64(verdict.HeavyPedal), 1e-12)
	for _, c := range []struct {
		force si.Force
		want  string
	}{
		{0, "easy"}, {verdict.EasyPedal, "easy"}, {verdict.EasyPedal + 1, "heavy"}, {verdict.HeavyPedal, "heavy"}, {verdict.HeavyPedal + 1, "beyond many drivers"},
	} {
		assert.Equal(t, c.want, verdict.Effort(c.force), "%v", c.force)
	}
}
