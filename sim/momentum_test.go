package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// TestMomentumIsConserved holds that mass times speed of the hub and of the input
// rod is the sum of every force on them over time, to rounding. The masses are
// computed here from the estimates, not taken from the links.
func TestMomentumIsConserved(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, s := drawCar(t)
		m, a := withAccounts(t, c, DefaultTolerance)
		rod := rodMass + pedalMass*float64(c.Pedal.Ratio)*float64(c.Pedal.Ratio)
		var start [2]float64
		worst, size, fastest := 0.0, 0.0, 0.0
		begun := false
		drive(t, m, s, func(x *Session) {
			p, y := m.plant, x.y
			now := [2]float64{hubMass*y[p.hub.speed] - y[a.hub], rod*y[p.rod.speed] - y[a.rod]}
			if !begun {
				start, begun = now, true
			}
			for i := range now {
				worst = max(worst, math.Abs(now[i]-start[i]))
			}
			// The account is a small difference of large pushes to and fro.
			size = max(size, float64(s.Until)*float64(c.Booster.Area)*float64(c.Ambient.Pressure))
			fastest = max(fastest, math.Abs(y[p.hub.speed]), math.Abs(y[p.rod.speed]))
		})
		assert.Less(t, worst, 1e-12*size)
		assert.Greater(t, fastest, 0.0)
	})
}

// TestInnerForcesCancel holds that disc, springs and contacts between the hub and
// the plunger push both alike: what the two get together from the reaction is
// the output force, at any state of a run.
func TestInnerForcesCancel(t *testing.T) {
	loaded := 0
	rapid.Check(t, func(t *rapid.T) {
		c, s := drawCar(t)
		m, err := New(c)
		assert.NoError(t, err)
		run, err := m.Run(t.Context(), s)
		assert.NoError(t, err)
		n := m.plant.net
		for at := run.From(); at < run.Until(); at += 0.05 {
			run.At(at)
			l := m.plant.output.link
			out := n.outs[l]
			size := math.Abs(out[0]) + math.Abs(out[1]) + math.Abs(out[2])
			assert.InDelta(t, -out[2], out[0]+out[1], 1e-14*size+1e-12)
			if out[2] > 10 && math.Abs(out[1]) > 10 {
				loaded++
			}
		}
	})
	assert.Greater(t, loaded, 100, "states with something to cancel")
}
