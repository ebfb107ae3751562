package workshop

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
)

// What the book takes to have no part in a test has none: a car with the fault reads what
// the sound car does, far within what a gauge shows.
func TestWhatHasNoPartInATest(t *testing.T) {
	t.Parallel()
	s := garage(t, "stock-ten-inch")
	read := func(c sim.Config, trial Trial) float64 {
		v, err := NewRig(c, s.Reserve, Gauges{}).Try(t.Context(), trial)
		require.NoError(t, err)
		return v
	}
	for _, trial := range Menu(&s.Config) {
		if trial.ByChance() || trial.Test() == scenario.StopsLeft && trial.Wait > 0 {
			continue
		}
		sound := read(s.Config, trial)
		key := hangsOn{trial.Vacuum > 0, trial.atRest()}
		half, _ := trial.Gauge()
		for _, name := range sim.FaultNames() {
			if !key.without(name) {
				continue
			}
			c := s.Config
			c.Faults = []sim.Fault{FaultAt(name, 0.9)}
			assert.InDelta(t, sound, read(c, trial), 0.05*half, "%s in %s", name, trial.Words(0))
		}
	}
}
