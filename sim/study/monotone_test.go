package study

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

// drawBooster draws a car with a booster on a source of a vacuum.
func drawBooster(t *rapid.T) sim.Config {
	draw := func(name string, from, to float64) float64 { return rapid.Float64Range(from, to).Draw(t, name) }
	c := sim.Typical()
	if rapid.Bool().Draw(t, "bench") {
		c.Source.Kind = sim.SourceBench
	}
	c.Booster = sim.BoosterOf(si.Length(draw("diameter", 7, 11)) * si.Inch)
	c.Booster.Ratio = si.Ratio(draw("ratio", 2, 8))
	c.Booster.JumpIn = si.Force(draw("jump-in", 0, 900))
	c.Pedal.Ratio = si.Ratio(draw("pedal ratio", 2.7, 6))
	c.Master.Bore = si.Length(draw("bore", 19e-3, 29e-3))
	if rapid.Bool().Draw(t, "single") {
		c.Master.Circuits = sim.MasterSingle
	}
	return c
}

// TestMoreVacuumNeverLowersTheKnee holds the knee's pedal force, output and line
// pressure against those of a lower vacuum, and the most that the booster adds.
func TestMoreVacuumNeverLowersTheKnee(t *testing.T) {
	both := 0
	rapid.Check(t, func(t *rapid.T) {
		c := drawBooster(t)
		low := rapid.Float64Range(5e3, 70e3).Draw(t, "vacuum")
		high := low + rapid.Float64Range(50, 15e3).Draw(t, "more")
		a, err := forceCurve(t.Context(), at(c, si.Vacuum(low)))
		require.NoError(t, err)
		b, err := forceCurve(t.Context(), at(c, si.Vacuum(high)))
		require.NoError(t, err)
		assert.GreaterOrEqual(t, help(b.pressingFine), help(a.pressingFine), "the most that the booster adds")
		if !a.Ratio.Exists() {
			return // too little vacuum for a power line: the knee is read at the cut-in
		}
		require.True(t, b.Ratio.Exists())
		both++
		assert.GreaterOrEqual(t, b.Knee.Pedal.Value(), a.Knee.Pedal.Value())
		assert.GreaterOrEqual(t, b.Knee.Output.Value(), a.Knee.Output.Value())
		assert.GreaterOrEqual(t, b.Knee.Line.Value(), a.Knee.Line.Value())
	})
	least := 20
	if testing.Short() {
		least = 5
	}
	assert.Greater(t, both, least)
}

// A booster a tenth larger never has an earlier knee. By hand the knee's input is
// (p A - F_s - c x + i F_a - F_j)/(i - 1), which grows with the area A, and it does so
// where little vacuum leaves a short power line. The vacuum is held, as curve holds it: a
// pump that ran during the press would start it for one of the two and not for the other.
func TestLargerBoosterNeverLowersTheKnee(t *testing.T) {
	t.Parallel()
	cars, both := carsOf(60, 20), 0
	for seed := range uint64(cars) {
		r := rand.New(rand.NewPCG(15, seed))
		c := at(oneCar(t, seed).Config, si.Vacuum(3+8*r.Float64())*si.InchOfMercury)
		c.Source.Kind, c.Pump = sim.SourceBench, sim.Pump{}
		large := c
		large.Booster.Area *= 1.1
		large.Booster.FrontVolume *= 1.1
		large.Booster.RearVolume *= 1.1
		a, err := forceCurve(t.Context(), c)
		require.NoError(t, err)
		b, err := forceCurve(t.Context(), large)
		require.NoError(t, err)
		if !a.Ratio.Exists() {
			continue
		}
		both++
		assert.GreaterOrEqual(t, b.Knee.Pedal.Value(), a.Knee.Pedal.Value(), "car %d", seed)
		assert.GreaterOrEqual(t, b.Knee.Output.Value(), a.Knee.Output.Value(), "car %d", seed)
		assert.GreaterOrEqual(t, b.Knee.Line.Value(), a.Knee.Line.Value(), "car %d", seed)
	}
	assert.Greater(t, both, cars/2)
}

// TestLargerTankNeverGivesFewerStops counts the assisted stops to the end. The
// demand is a line pressure, the same for both tanks, which hold the same vacuum
// at first behind a valve of their own.
func TestLargerTankNeverGivesFewerStops(t *testing.T) {
	type pair struct {
		car          sim.Config
		line         si.Pressure
		small, large si.Volume
	}
	// Too slow for the usual hundred.
	pairs := carsOf(20, 8)
	draw := rapid.Custom(func(t *rapid.T) pair {
		p := pair{car: at(drawBooster(t), si.Vacuum(rapid.Float64Range(35e3, 65e3).Draw(t, "vacuum")))}
		p.line = si.Pressure(rapid.Float64Range(4e6, 8e6).Draw(t, "line"))
		p.small = si.Volume(rapid.Float64Range(0.2e-3, 1.5e-3).Draw(t, "tank"))
		p.large = p.small + si.Volume(rapid.Float64Range(0.01e-3, 1.5e-3).Draw(t, "more"))
		return p
	})
	settings := typical(t).Reserve
	settings.Stops, settings.Hold, settings.Pause = 60, 1, 3
	more := 0
	for seed := range pairs {
		p := draw.Example(seed)
		count := func(v si.Volume) int {
			c := p.car
			c.Reservoir = sim.Reservoir{Volume: v, Place: sim.PlaceEngineSide, InletValve: true}
			r := &ReserveResult{settings: settings, config: c}
			require.NoError(t, r.simulate(t.Context(), stopping{line: p.line, counting: true}, nil))
			require.False(t, r.Capped)
			return r.AssistedStops
		}
		small, large := count(p.small), count(p.large)
		assert.GreaterOrEqual(t, large, small, "seed %d", seed)
		if large > small {
			more++
		}
	}
	assert.Greater(t, more, pairs/10)
}
