// Package answertest holds what every answer promises, for the tests of the rooms that
// give one.
package answertest

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// Decode marshals an answer's document and reads it back. A NaN would stop it, and so
// does a number whose key neither ends with an SI unit nor is one of those named here,
// which have none.
func Decode(t *testing.T, a answer.Answer, plain ...string) map[string]any {
	t.Helper()
	data, err := json.Marshal(a.Document())
	require.NoError(t, err)
	var out map[string]any
	require.NoError(t, json.Unmarshal(data, &out))
	suffixed(t, "", out, plain)
	return out
}

var units = []si.Dimension{
	si.DimForce, si.DimPressure, si.DimLength, si.DimArea, si.DimVolume, si.DimTime, si.DimAcceleration,
	si.DimTemperature, si.DimMassFlow, si.DimVolumeFlow, si.DimRotation,
}

func suffixed(t *testing.T, key string, v any, plain []string) {
	t.Helper()
	switch v := v.(type) {
	case map[string]any:
		for k, x := range v {
			suffixed(t, k, x, plain)
		}
	case []any:
		for _, x := range v {
			suffixed(t, key, x, plain)
		}
	case float64:
		if slices.Contains(plain, key) || slices.ContainsFunc(units, func(d si.Dimension) bool {
			return strings.HasSuffix(key, d.Unit(si.SI).KeySuffix)
		}) {
			return
		}
		require.Fail(t, "no unit", key)
	}
}

// HasKeys wants an object with some keys.
func HasKeys(t *testing.T, v any, keys ...string) {
	t.Helper()
	object, ok := v.(map[string]any)
	require.True(t, ok, "%v", v)
	for _, k := range keys {
		assert.Contains(t, object, k)
	}
}
