package sim_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

// sought lets a driver seek a deceleration for four seconds.
func sought(t *testing.T, c sim.Config, wanted si.Acceleration, limit si.Force) *sim.Trajectory {
	t.Helper()
	return run(t, c, sim.Schedule{
		Presses: []sim.Press{{At: 1, Deceleration: wanted, Pedal: limit, Press: 0.3, Hold: 5, Release: 0.3}},
		Until:   8,
	})
}

// manual is a car that never had a booster.
func manual() sim.Config {
	c := bench(0)
	c.Booster.Kind = sim.BoosterNone
	c.Pedal.Ratio = 6
	return c
}

// A driver who wants a deceleration finds it on an easy pedal, on a hard one and
// with none at all, and holds it without working the pedal.
func TestDriverFindsADeceleration(t *testing.T) {
	easy := bench(80e3)
	easy.Booster.Ratio = 8
	// With duo-servo drums as well the gentle stop lies within the jump-in: 16 % over.
	easy.Car.RearBrake.Kind = sim.BrakeLeadingTrailing
	// Without vacuum the hub has to press the air out of the front chamber, and the
	// default's is small: a gentle stop is 15.7 % over in it.
	empty := bench(0)
	empty.Booster.FrontVolume, empty.Booster.RearVolume = 3.6e-3, 0.6e-3
	for name, row := range map[string]struct {
		car    sim.Config
		wanted si.Acceleration
	}{
		"easy pedal, gentle":   {easy, 3},
		"easy pedal, hard":     {easy, 6},
		"usual pedal":          {sim.Typical(), 4},
		"no vacuum":            {bench(0), 3},
		"no vacuum, gentle":    {empty, 1},
		"no booster":           {manual(), 4},
		"20 kPa, about a knee": {bench(20e3), 3},
	} {
		t.Run(name, func(t *testing.T) {
			out := sought(t, row.car, row.wanted, 3000)
			overshoot, swing, moved := 0.0, 0.0, 0.0
			var last sim.State
			for _, x := range out.Every(0.02) {
				overshoot = max(overshoot, float64(x.Deceleration/row.wanted)-1)
				if x.Time < 4 || x.Time > 6.2 {
					continue
				}
				swing = max(swing, math.Abs(float64(x.Deceleration/row.wanted)-1))
				if last.Time > 0 {
					moved += math.Abs(float64(x.Pedal - last.Pedal))
				}
				last = x
			}
			assert.Less(t, swing, 0.02)
			assert.Less(t, overshoot, 0.15)
			assert.Less(t, moved, 0.1*float64(last.Pedal), "the foot works up and down")
			assert.Zero(t, out.At(7).Pedal)
			t.Logf("%.0f N, overshoot %.1f %%, swing %.2f %%, foot moves %.1f N", float64(last.Pedal), 100*overshoot, 100*swing, moved)
		})
	}
}

// Out of reach, the foot stops at its limit.
func TestDriverStopsAtTheLimit(t *testing.T) {
	for name, c := range map[string]sim.Config{"no vacuum": bench(0), "no booster": manual()} {
		out := sought(t, c, 8.5, 500)
		for _, x := range out.Every(0.02) {
			assert.LessOrEqual(t, float64(x.Pedal), 500*(1+1e-4), "%s at %g s", name, float64(x.Time))
		}
		held := out.At(6.2)
		assert.InEpsilon(t, 500, float64(held.Pedal), 0.02, name)
		assert.Less(t, held.Deceleration, si.Acceleration(8))
	}
}
