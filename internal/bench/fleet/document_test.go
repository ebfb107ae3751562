package fleet

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
)

// A car of the fleet can be written as a scenario, which reads as a car that does
// the same to the bit. Figures that a car has no use for are not written.
func TestFleetCanBeWritten(t *testing.T) {
	const written, driven = 500, 40
	for seed := range uint64(written) {
		c, plan := Random(rand.New(rand.NewPCG(seed, 3)))
		s, err := scenario.Of(fmt.Sprintf("car %d", seed), c, plan)
		require.NoError(t, err)
		again, err := scenario.Read(strings.NewReader(s.Document()), "car.toml")
		require.NoError(t, err, "%s", s.Document())
		require.Equal(t, plan.Presses, again.Presses, "car %d", seed)
		require.Equal(t, plan.Events, again.Events, "car %d", seed)
		if seed < driven {
			require.Equal(t, end(t, c, plan), end(t, again.Config, plan), "car %d", seed)
		}
	}
}

// end is the last state of a drive, to the bit.
func end(t *testing.T, c sim.Config, plan sim.Schedule) string {
	t.Helper()
	m, err := sim.New(c)
	require.NoError(t, err)
	run, err := m.Run(t.Context(), plan)
	require.NoError(t, err)
	return fmt.Sprintf("%#v", run.At(run.Until()))
}
