package sim_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

// A booster that was filled has its vacuum everywhere, and keeps it with the engine off;
// so does the tank that feeds it, and no other.
func TestFill(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		place sim.Place
		valve bool
		tank  bool
	}{{sim.PlaceEngineSide, true, true}, {sim.PlaceEngineSide, false, false}, {sim.PlaceBoosterSide, false, true}} {
		car := sim.Typical()
		car.Reservoir = sim.Reservoir{Volume: 2e-3, Place: c.place, InletValve: c.valve}
		m, err := sim.New(car)
		require.NoError(t, err)
		s := m.Start()
		s.Fill(60e3)
		for range 2 {
			now := s.State()
			assert.InDelta(t, 60e3, float64(now.FrontVacuum), 60)
			assert.InDelta(t, 60e3, float64(now.WorkingVacuum), 60)
			want := 0.0
			if c.tank {
				want = 60e3
			}
			assert.InDelta(t, want, float64(now.ReservoirVacuum), 60)
			require.NoError(t, s.Advance(context.Background(), 20))
		}
	}
}

// A pedal that is traced goes from point to point in straight lines, and stays at the last.
func TestTrace(t *testing.T) {
	t.Parallel()
	m, err := sim.New(sim.Typical())
	require.NoError(t, err)
	s := m.Start()
	s.Fill(60e3)
	s.Record()
	s.Trace(1, 0)
	s.Trace(2, 100)
	s.Trace(4, 50)
	require.NoError(t, s.AdvanceTo(context.Background(), 5))
	for at, want := range map[si.Time]float64{0.5: 0, 1.5: 50, 2: 100, 3: 75, 4.5: 50} {
		assert.InDelta(t, want, float64(s.Trajectory().At(at).Pedal), 1e-9, "at %v", at)
	}
}
