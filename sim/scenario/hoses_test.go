package scenario

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim"
)

func TestHosesGiveTheCompliance(t *testing.T) {
	typical := sim.Typical()
	with := func(hoses string) *Scenario {
		s, err := Open("", nil, `circuit.front.hoses=`+hoses, `circuit.rear.hoses=`+hoses)
		require.NoError(t, err)
		return s
	}
	rubber, braided := with("rubber"), with("braided")
	assert.Equal(t, typical.Front.Compliance, rubber.Config.Front.Compliance)
	// Two hoses in front and one behind, of 0.06 cm³/MPa each (estimate).
	assert.InEpsilon(t, float64(typical.Front.Compliance)-0.12e-12, float64(braided.Config.Front.Compliance), 1e-9)
	assert.InEpsilon(t, float64(typical.Rear.Compliance)-0.06e-12, float64(braided.Config.Rear.Compliance), 1e-9)
	assert.Equal(t, sim.HosesBraided, braided.Config.Front.Hoses)

	_, err := Open("", nil, "circuit.front.hoses=silk")
	assert.ErrorContains(t, err, `"rubber" or "braided"`)
}
