package cli

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
)

// A command that is proposed sets each key once: of two values the last would hold.
func TestProposedCommandSetsAKeyOnce(t *testing.T) {
	s, err := scenario.Builtin()
	require.NoError(t, err)
	propose := commandsOn(s, []string{"reserve.engine=idle", "booster.diameter=9 in"})
	assert.Equal(t, `kneepoint reserve --set "booster.diameter=9 in" --set reserve.engine=off`,
		propose(answer.Command{Verb: "reserve", Args: []string{"--set", "reserve.engine=off"}}))
	assert.Equal(t, `kneepoint curve --set reserve.engine=idle --set "booster.diameter=9 in"`, propose(answer.Command{Verb: "curve"}))
}
