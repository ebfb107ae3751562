package sim

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/si"
)

// TestNoAllocationByTheStep drives the same five stops with few steps and with
// many: what is allocated belongs to the plan of the presses and to no step.
func TestNoAllocationByTheStep(t *testing.T) {
	drive := func(tolerance float64) (allocations float64, steps int) {
		m, err := New(Typical(), Tolerance(tolerance))
		require.NoError(t, err)
		settled := m.Start()
		require.NoError(t, settled.Settle(context.Background(), EngineIdle))
		before := m.Stats().Steps
		const runs = 3
		allocations = testing.AllocsPerRun(runs, func() {
			s := settled.Fork()
			s.Engine(EngineOff)
			for i := range 5 {
				s.Plan(Press{At: 1 + 8*si.Time(i), Pedal: 200, Press: 0.3, Hold: 2, Release: 0.3})
			}
			require.NoError(t, s.AdvanceTo(context.Background(), 41))
		})
		return allocations, (m.Stats().Steps - before) / (runs + 1)
	}
	loose, few := drive(1e-4)
	tight, many := drive(1e-6)
	assert.Greater(t, many, 2*few)
	assert.Equal(t, loose, tight, "allocations of %d and of %d steps", few, many)
}
