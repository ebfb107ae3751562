package report

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The basis stands behind the document's own keys, which stay as they are.
func TestJSONCarriesItsBasis(t *testing.T) {
	low := 3.0
	on := NewBasis("abc", []AssumedValue{{Key: "pedal.ratio", Value: 4.0, Low: &low, HowToMeasure: "a tape"}})
	for _, doc := range []any{jsonDocument{Zulu: 1, Stops: []jsonStop{{Note: "a } & {"}}}, struct{}{}} {
		var alone, with bytes.Buffer
		require.NoError(t, JSON(&alone, stub{doc: doc}))
		require.NoError(t, JSONOn(&with, stub{doc: doc}, on))
		var before, after map[string]any
		require.NoError(t, json.Unmarshal(alone.Bytes(), &before))
		require.NoError(t, json.Unmarshal(with.Bytes(), &after))
		for key, v := range before {
			assert.Equal(t, v, after[key])
		}
		assert.Len(t, after, len(before)+4)
		assert.Equal(t, "abc", after["input_sha256"])
		assert.Equal(t, Caution, after["caution"])
		assert.Equal(t, ThisProgram().Version, after["program"].(map[string]any)["version"])
		first := after["assumed"].([]any)[0].(map[string]any)
		assert.Equal(t, "pedal.ratio", first["key"])
		assert.Equal(t, 3.0, first["low"])
		assert.Nil(t, first["high"])
		assert.Equal(t, byte('\n'), with.Bytes()[with.Len()-1])
	}
	assert.ErrorContains(t, JSONOn(&bytes.Buffer{}, stub{doc: []int{1}}, on), "no object")
	assert.Equal(t, []AssumedValue{}, NewBasis("", nil).Assumed, "a list, and not null")
}
