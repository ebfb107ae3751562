package study

import (
	"context"
	goflag "flag"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

var timesCars = goflag.Int("cars", 1, "times as many random cars")

// carsOf is how many random cars a test asks about, in a short run fewer.
func carsOf(usually, short int) int {
	if testing.Short() {
		return short
	}
	return usually * *timesCars
}

// oneCar is a random car of the kind that is brought to a counter, by its seed.
func oneCar(t testing.TB, seed uint64) *scenario.Scenario {
	t.Helper()
	r := rand.New(rand.NewPCG(13, seed))
	between := func(low, high float64) float64 { return low + (high-low)*r.Float64() }
	pick := func(words ...string) string { return words[r.IntN(len(words))] }
	flags := []string{
		fmt.Sprintf("source.vacuum=%.2f inHg", between(9, 21)),
		"booster.diameter=" + pick("7 in", "8 in", "9 in", "10 in", "11 in", "7 in + 8 in", "8 in + 8 in", "8 in + 9 in"),
		fmt.Sprintf("booster.ratio=%.2f", between(3.5, 8.5)),
		fmt.Sprintf("booster.jump_in=%.0f N", between(300, 900)),
		fmt.Sprintf("master.friction=%.0f N", between(0, 120)),
		fmt.Sprintf("booster.friction=%.0f N", between(0, 30)),
		"master.bore=" + pick("13/16 in", "7/8 in", "15/16 in", "1 in", "1 1/8 in"),
		"master.circuits=" + pick("dual", "single"),
		fmt.Sprintf("pedal.ratio=%.2f", between(3, 6)),
		fmt.Sprintf("pedal.efficiency=%.2f", between(0.8, 1)),
		fmt.Sprintf("car.mass=%.0f kg", between(900, 2200)),
		fmt.Sprintf("car.front_share=%.3f", between(0.46, 0.6)),
		fmt.Sprintf("car.adhesion=%.2f", between(0.6, 1)),
		fmt.Sprintf("car.centre_height=%.2f m", between(0.45, 0.65)),
		fmt.Sprintf("brake.front.piston_area=%.1f cm2", between(20, 45)),
		fmt.Sprintf("brake.front.friction=%.2f", between(0.3, 0.45)),
		fmt.Sprintf("brake.rear.piston_area=%.2f cm2", between(2, 5)),
		fmt.Sprintf("ambient.altitude=%.0f m", between(0, 2500)),
		"source.measured_at=0 m",
	}
	if r.IntN(4) == 0 {
		flags = append(flags, fmt.Sprintf("reservoir.volume=%.1f L", between(0.5, 4)))
	}
	if r.IntN(3) == 0 {
		flags = append(flags, fmt.Sprintf("valves.split_pressure=%.1f MPa", between(1, 4)), fmt.Sprintf("valves.split_slope=%.2f", between(0.25, 0.6)))
	}
	if r.IntN(5) == 0 {
		on := between(12, 16)
		flags = append(flags, fmt.Sprintf("pump.free_flow=%.1f L/min", between(0.5, 30)),
			fmt.Sprintf("pump.on=%.1f inHg", on), fmt.Sprintf("pump.off=%.1f inHg", on+between(1, 5)))
	}
	s, err := scenario.Builtin(flags...)
	require.NoError(t, err, "car %d", seed)
	return s
}

// Every verb that can say what pedal force stops this car hard says the same. The slow
// press of curve and balance and the press and hold of reserve, failures and choose are
// two ways to it; statics, which no press knows, say at which deceleration.
func TestOneCarOneVerdict(t *testing.T) {
	t.Parallel()
	cars := carsOf(100, 15)
	ctx := context.Background()
	var worst, worstShare float64
	reached, alike, pumped := 0, 0, 0
	for seed := range uint64(cars) {
		s := oneCar(t, seed)
		name := fmt.Sprintf("car %d", seed)
		r, err := Curve(ctx, s, CurveOptions{})
		require.NoError(t, err, name)
		hard := r.Curves[0].HardStop
		require.NotEqual(t, byBrakes, hard.missing, name)
		b, err := Balance(ctx, s, nil)
		require.NoError(t, err, name)
		lock := b.Cases[0].FirstLock
		assert.Equal(t, hard.Axle, lock.Axle, name)
		assert.InEpsilon(t, float64(hard.Deceleration.Value()), float64(lock.Deceleration.Value()), 1e-9, name)
		locksBySums(t, s, lock, name)

		deceleration := hard.Deceleration.Value()
		asked := *s
		asked.Reserve.Engine, asked.Reserve.Stops = sim.EngineIdle, 1
		asked.Reserve.Deceleration, asked.Reserve.Pedal = deceleration, s.Reserve.ForceLimit
		stops, err := Reserve(ctx, &asked, nil)
		require.NoError(t, err, name)
		stop := stops.Stops[0]
		if stops.Pump != nil {
			// The first of its stops begins with the pump's help, its worst may not.
			pumped++
			stop.Needed, stop.missing = stops.Pump.Needed, hard.missing
			if hard.missing != noShortfall {
				assert.False(t, stop.Needed.Exists(), name)
			}
		}
		if hard.missing != noShortfall {
			assert.Equal(t, hard.missing, stop.missing, name)
			continue
		}
		reached++
		force := float64(hard.Pedal.Value())
		slow := where(r.Curves[0].pressingFine, pedalOf, lineOf, force)
		if !(math.Abs(slow/float64(hard.Line.Value())-1) > 0.02) { // or beyond the curve's end
			alike++
		}
		assert.InEpsilon(t, force, float64(lock.Pedal.Value()), 1e-3, name)
		miss := math.Abs(float64(stop.Needed.Value())/force - 1)
		if !assert.LessOrEqual(t, miss, 0.01, "%s: curve %.1f N, reserve %.1f N", name, force, float64(stop.Needed.Value())) {
			continue
		}
		if miss > worst {
			worst = miss
		}

		f := &FailuresResult{PedalLimit: s.Reserve.ForceLimit, Speed: stopFrom, config: s.Config}
		c := newCase(nothingFailed, s.Config.Master.Circuits, false)
		session, err := f.prepare(ctx, s, &c)
		require.NoError(t, err, name)
		require.NoError(t, f.read(ctx, &c, session, s.Reserve), name)
		if force < 0.99*float64(s.Reserve.ForceLimit) {
			assert.InEpsilon(t, float64(deceleration), float64(c.Best.Deceleration.Value()), 1e-3, name)
			assert.InEpsilon(t, force, float64(c.Best.Pedal.Value()), 0.01, name)
			assert.Equal(t, hard.Axle, c.Best.Axle, name)
		} else if force > 1.01*float64(s.Reserve.ForceLimit) {
			assert.Less(t, float64(c.Best.Deceleration.Value()), float64(deceleration), name)
			assert.Equal(t, verdict.NoAxle, c.Best.Axle, name)
		}

		wanted := *s
		wanted.Choose.Deceleration = deceleration
		o := newOption(presentParts(s))
		require.NoError(t, o.simulate(ctx, &wanted), name)
		share := math.Abs(float64(o.RunningPedal.Value())/float64(stop.Needed.Value()) - 1)
		worstShare = max(worstShare, share)
		assert.LessOrEqual(t, share, 2e-3, "%s: choose and reserve press alike", name)
		if stops.Pump != nil {
			stand, err := Stand(ctx, &asked, 1)
			require.NoError(t, err, name)
			assert.InEpsilon(t, float64(o.RunningPedal.Value()), float64(stand.Everyday.Value()), 2e-3, "%s: ask and choose press alike", name)
		}
	}
	assert.Greater(t, reached, cars/2)
	assert.Greater(t, pumped, cars/10)
	// A slow press has all the time for the check valve to bring the front chamber back
	// to the engine's vacuum, and no valve that overshoots: past the knee of a weak
	// engine that is a few percent of the line pressure.
	t.Logf("a slow press comes within 2 %% of the same line pressure in %d cars", alike)
	assert.GreaterOrEqual(t, alike, reached*85/100)
	t.Logf("%d of %d cars reach their lock; reserve off curve by up to %.2f %%, choose off reserve by up to %.3f %%", reached, cars, 100*worst, 100*worstShare)
}

// locksBySums works the first lock out again from the forces on the car, by a sum for
// each axle that knows nothing of the yardsticks.
func locksBySums(t *testing.T, s *scenario.Scenario, lock verdict.FirstLock, name string) {
	t.Helper()
	c := &s.Config.Car
	front, rear := c.BrakeForces(lock.Line.Value(), lock.Line.Value())
	mass, g := float64(c.Mass), float64(si.StandardGravity)
	a := float64(front+rear) / mass
	assert.InEpsilon(t, float64(lock.Deceleration.Value()), a, 1e-6, name)
	moved := mass * a * float64(c.CentreHeight) / float64(c.Wheelbase)
	uses := map[verdict.Axle]float64{
		verdict.FrontAxle: float64(front) / (mass*g*float64(c.FrontShare) + moved),
		verdict.RearAxle:  float64(rear) / (mass*g*(1-float64(c.FrontShare)) - moved),
	}
	assert.InDelta(t, float64(c.Adhesion), uses[lock.Axle], 1e-4, name)
	for _, other := range uses {
		assert.LessOrEqual(t, other, float64(c.Adhesion)+1e-4, name)
	}
}
