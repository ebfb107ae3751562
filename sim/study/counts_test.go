package study

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// At one deceleration weaker parts never make more stops easy, or at most heavy: less
// vacuum, a smaller pedal ratio, a smaller tank. A larger bore does so too, with one
// exception that is true: it asks for more force, and for less travel, and where the
// stops are gentle the air that the shorter stroke saves can be worth one stop more.
func TestWeakerPartsNeverCountMoreStops(t *testing.T) {
	t.Parallel()
	const largerBore = "a larger bore"
	weaker := map[string]func(*scenario.Scenario){
		"less vacuum":           func(s *scenario.Scenario) { s.Config = at(s.Config, s.Config.SourceVacuum()*0.85) },
		largerBore:              func(s *scenario.Scenario) { s.Config.Master.Bore += si.Length(si.Inch) / 16 },
		"a smaller pedal ratio": func(s *scenario.Scenario) { s.Config.Pedal.Ratio *= 0.88 },
		"a smaller tank":        func(s *scenario.Scenario) { s.Config.Reservoir.Volume /= 2 },
	}
	cars := carsOf(40, 20)
	compared, spared := 0, 0
	for seed := range uint64(cars) {
		s := oneCar(t, seed)
		r := rand.New(rand.NewPCG(14, seed))
		s.Reserve.Deceleration = si.Acceleration(0.25+0.4*r.Float64()) * si.StandardGravity
		s.Reserve.Pedal = s.Reserve.ForceLimit
		s.Config.Reservoir = sim.Reservoir{Volume: si.Volume(2+2*r.Float64()) * si.Litre, Place: sim.PlaceEngineSide, InletValve: true}
		before := countedStops(t, s)
		for name, weaken := range weaker {
			car := *s
			weaken(&car)
			after := countedStops(t, &car)
			if name == largerBore && (after.EasyStops > before.EasyStops || after.HeavyStops > before.HeavyStops) {
				spared++
				assert.Greater(t, float64(after.Stops[0].Needed.Value()), float64(before.Stops[0].Needed.Value()), "car %d", seed)
				assert.Greater(t, float64(after.Stops[0].VacuumAfter.Value()), float64(before.Stops[0].VacuumAfter.Value()), "car %d: %s", seed, name)
				assert.LessOrEqual(t, after.EasyStops, before.EasyStops+1, "car %d: %s", seed, name)
				continue
			}
			assert.LessOrEqual(t, after.EasyStops, before.EasyStops, "car %d: %s", seed, name)
			assert.LessOrEqual(t, after.HeavyStops, before.HeavyStops, "car %d: %s", seed, name)
			if before.HeavyStops > 0 && before.HeavyStops < len(before.Stops) {
				compared++
			}
		}
	}
	t.Logf("%d comparisons with a count to lose", compared)
	assert.GreaterOrEqual(t, compared, cars/8, "the draw has counts to lose")
	t.Logf("%d of %d cars have a stop more with a larger bore", spared, cars)
	assert.LessOrEqual(t, spared, cars*5/100)
}

func countedStops(t *testing.T, s *scenario.Scenario) *ReserveResult {
	t.Helper()
	r := &ReserveResult{settings: s.Reserve, config: s.Config}
	require.NoError(t, r.simulate(context.Background(), stopping{}, nil))
	return r
}
