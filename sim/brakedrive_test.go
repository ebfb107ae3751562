package sim_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim"
)

// A driver who asks for more than the road gives locks the axles one after the
// other, and the solver gets over both corners.
func TestSeekingOverTheAdhesion(t *testing.T) {
	c := sim.Typical()
	c.Car.Adhesion, c.Car.SlidingAdhesion, c.Car.SplitSlope, c.Car.HoldOff = 0.4, 0.35, 0.8, 0.7e6
	m, err := sim.New(c)
	require.NoError(t, err)
	s := m.Start()
	require.NoError(t, s.Settle(context.Background(), sim.EngineIdle))
	s.Plan(sim.Press{At: 1, Pedal: 400, Deceleration: 6, Press: 0.5, Hold: 4, Release: 0.3})
	require.NoError(t, s.AdvanceTo(context.Background(), 5))
	limit := float64(c.Car.Adhesion) * 9.80665
	assert.InDelta(t, limit, float64(s.State().Deceleration), 1e-6)
	assert.InDelta(t, 400, float64(s.State().Pedal), 10, "the foot presses as hard as it may")
}
