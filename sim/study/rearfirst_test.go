package study

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// Whoever is sent to look for a valve finds one there: advice and balance agree.
func TestNobodyIsSentToAValveThatIsNotThere(t *testing.T) {
	found := map[bool]bool{}
	for _, rear := range []string{"1 1/8 in", "2 in"} {
		s, err := scenario.Builtin(`brake.front.kind=duo-servo`, `brake.rear.kind=duo-servo`, `brake.rear.piston_diameter=`+rear, `car.front_share=0.5`, `valves.split_slope=0.3`)
		require.NoError(t, err)
		b, err := Balance(t.Context(), s, nil)
		require.NoError(t, err)
		require.True(t, b.Valve.Needed, rear)
		_, command := rearFirstNext(s.Config.Car)
		assert.Equal(t, b.Valve.Possible, command.Verb == toBalance.Verb, rear)
		assert.Equal(t, !b.Valve.Possible, RearFirstRemedy(s.Config.Car, si.US) == noValveHelps, rear)
		found[b.Valve.Possible] = true
	}
	assert.Len(t, found, 2, "cars of both kinds")
}
