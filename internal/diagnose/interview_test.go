package diagnose

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// The engine's vacuum as the file has it, or less, is weighed without simulating the car
// anew; more makes it another car.
func TestVacuumReadIsNotSimulatedAgain(t *testing.T) {
	t.Parallel()
	text, err := os.ReadFile("../../scenarios/stock-ten-inch.toml")
	require.NoError(t, err)
	l := library(t)
	v, err := NewInterview("car.toml", withComplaint(string(text), "hard"))
	require.NoError(t, err)
	v.library = l.Under(scenario.ComplaintHard)
	q := questionOf(trialOf(t, scenario.Reading{Test: scenario.ManifoldVacuum}), si.US)
	require.NoError(t, v.Answer(q, "9"))
	_, _, err = v.Asked(t.Context(), si.US, nil)
	require.NoError(t, err)
	assert.Same(t, l.store, v.library.store, "what was simulated is still there")
	assert.True(t, v.library.vacuum.Short)
	assert.Equal(t, "low-source-vacuum", v.now.Suspects[0].Fault)

	more, err := l.reread(t.Context(), v.s, []scenario.Reading{{Test: scenario.ManifoldVacuum, Value: float64(22 * si.InchOfMercury)}})
	require.NoError(t, err)
	assert.Nil(t, more)
}
