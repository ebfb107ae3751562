package answer

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/si"
)

// What does not exist stays so on the way through JSON and back, and so does what a
// document leaves out.
func TestOptionalGoesThroughJSON(t *testing.T) {
	type three struct {
		A, B Optional[si.Force]
		C    Optional[si.Vacuum] `json:",omitzero"`
	}
	data, err := json.Marshal(three{B: Of(si.Force(2.5))})
	require.NoError(t, err)
	assert.JSONEq(t, `{"A": null, "B": 2.5}`, string(data))
	back := three{A: Of(si.Force(1))}
	require.NoError(t, json.Unmarshal(data, &back))
	assert.Equal(t, three{B: Of(si.Force(2.5))}, back)
	assert.Error(t, json.Unmarshal([]byte(`{"A": "x"}`), &back))
	for _, v := range []float64{0, -1e-300, 101325} {
		data, err := json.Marshal(Of(si.Pressure(v)))
		require.NoError(t, err)
		var again Optional[si.Pressure]
		require.NoError(t, json.Unmarshal(data, &again))
		assert.Equal(t, Of(si.Pressure(v)), again)
	}
}

// What does not exist is in no order with anything, 0 least of all.
func TestNoneIsNotZero(t *testing.T) {
	none := None[si.Force]()
	assert.Equal(t, Optional[si.Force]{}, none)
	assert.Equal(t, none, Of(si.Force(math.NaN())))
	assert.NotEqual(t, none, Of(si.Force(0)))
	assert.False(t, none.Value() == 0 || none.Value() < 1 || none.Value() > -1)
	assert.Nil(t, none.Cell())
	assert.Equal(t, 0.0, Of(si.Force(0)).Cell())
	assert.False(t, As[float64](none).Exists())
	assert.Equal(t, Of(3.0), As[float64](Of(si.Force(3))))
}
