package study

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// What is left out where it decides nothing decides nothing.
func TestPassesAsWithEverythingSimulated(t *testing.T) {
	t.Parallel()
	verdicts := map[bool]int{}
	for _, flags := range [][]string{nil, {"choose.pedal_limit=600 N"}, {"choose.stops_left=4", "reserve.stops=3"}, {"choose.stops_left=0"}, {"reserve.engine=idle"}} {
		s, err := scenario.Builtin(append([]string{"reserve.deceleration=0.6 g", "choose.deceleration=0.6 g", "choose.recharge_limit=4 s"}, flags...)...)
		require.NoError(t, err)
		for _, pump := range []sim.Pump{{}, scenario.TypicalPump()} {
			for _, share := range []float64{0.2, 0.5, 0.7, 0.9} {
				car := *s
				car.Config = at(s.Config, si.Vacuum(share)*mostVacuum(s.Config))
				car.Config.Pump = pump
				full := newOption(presentParts(&car))
				require.NoError(t, full.simulateStops(t.Context(), &car))
				full.judge(car.Choose)
				got, err := passes(t.Context(), &car)
				require.NoError(t, err)
				assert.Equal(t, full.Passes, got, "%v, pump %v, %v of the vacuum: %s", flags, pump.FreeFlow > 0, share, full.Why)
				verdicts[got]++
			}
		}
	}
	assert.Greater(t, verdicts[true], 3)
	assert.Greater(t, verdicts[false], 3)
}
