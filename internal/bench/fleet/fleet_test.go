package fleet

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

func TestFleetIsValidAndInOrder(t *testing.T) {
	for seed := range uint64(2000) {
		c, s := Random(rand.New(rand.NewPCG(seed, 1)))
		for _, p := range c.Check() {
			require.False(t, p.Fatal, "car %d: %v", seed, p)
		}
		now := si.Time(0)
		for _, p := range s.Presses {
			require.GreaterOrEqual(t, p.At, now, "car %d", seed)
			now = p.End()
		}
		require.Greater(t, s.Until, now, "car %d", seed)
		for i := 1; i < len(s.Events); i++ {
			require.Greater(t, s.Events[i].At, s.Events[i-1].At, "car %d", seed)
		}
	}
}

func TestSameSeedSameCar(t *testing.T) {
	a, drivenA := Random(rand.New(rand.NewPCG(7, 1)))
	b, drivenB := Random(rand.New(rand.NewPCG(7, 1)))
	assert.Equal(t, a, b)
	assert.Equal(t, drivenA, drivenB)
	other, _ := Random(rand.New(rand.NewPCG(8, 1)))
	assert.NotEqual(t, a, other)
}

// The fleet goes to the ends of its ranges and leaves no kind of car out.
func TestFleetCoversItsRange(t *testing.T) {
	seen := map[any]int{}
	var mostVacuum, highest, shortest, longest = 0.0, 0.0, 1.0, 0.0
	for seed := range uint64(4000) {
		c, s := Random(rand.New(rand.NewPCG(seed, 2)))
		seen[c.Source.Kind]++
		seen[c.Booster.Kind]++
		seen[c.Master.Circuits]++
		if c.Booster.Kind == sim.BoosterVacuum {
			seen[len(c.Booster.Diameters)]++
		}
		if c.Reservoir.Volume > 0 {
			seen[c.Reservoir.Place]++
		}
		if c.Pump.FreeFlow > 0 {
			seen["pump"]++
		}
		for _, f := range c.Faults {
			seen[f.Name]++
		}
		for _, e := range s.Events {
			seen[e.Engine]++
		}
		mostVacuum = max(mostVacuum, float64(c.Source.Vacuum)/float64(c.Ambient.Pressure))
		highest = max(highest, 101325-float64(c.Ambient.Pressure))
		for _, p := range s.Presses {
			shortest, longest = min(shortest, float64(p.Press)), max(longest, float64(p.Press))
			seen[p.Deceleration > 0]++
		}
	}
	kinds := []any{sim.SourceBench, sim.SourceEngine, sim.BoosterVacuum, sim.BoosterNone, sim.MasterSingle, sim.MasterDual, 1, 2,
		sim.PlaceEngineSide, sim.PlaceBoosterSide, "pump", true, false,
		sim.EngineIdle, sim.EngineOverrun, sim.EngineCruise, sim.EngineSnap, sim.EngineOff}
	for _, name := range sim.FaultNames() {
		kinds = append(kinds, name)
	}
	for _, k := range kinds {
		assert.Greater(t, seen[k], 50, "%v", k)
	}
	assert.Greater(t, mostVacuum, 0.95)
	assert.Greater(t, highest, 37e3, "4000 m are some 62 kPa")
	assert.Less(t, shortest, 0.025)
	assert.Greater(t, longest, 18.0)
}
