package answer

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What does not exist stays so on the way through JSON and back.
func TestMaybeGoesThroughJSON(t *testing.T) {
	type pair struct{ A, B Maybe }
	data, err := json.Marshal(pair{None(), 2.5})
	require.NoError(t, err)
	assert.JSONEq(t, `{"A": null, "B": 2.5}`, string(data))
	var back pair
	require.NoError(t, json.Unmarshal(data, &back))
	assert.False(t, back.A.Exists())
	assert.Equal(t, Maybe(2.5), back.B)
	assert.Error(t, json.Unmarshal([]byte(`{"A": "x"}`), &back))
}
