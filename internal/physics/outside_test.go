package physics

import (
	"os"
	"testing"

	"github.com/pelletier/go-toml/v2"
	"github.com/stretchr/testify/require"
)

// air is what testdata/air.toml says of gas flow and the atmosphere.
type air struct {
	ChokedFlow struct {
		Conductance float64 `toml:"conductance_m3_per_s_pa"`
		Pressure    float64 `toml:"pressure_pa"`
		Temperature float64 `toml:"temperature_k"`
		Flow        float64 `toml:"flow_kg_per_s"`
	} `toml:"choked_flow"`
	Atmosphere struct {
		Altitude []float64 `toml:"altitude_m"`
		Pressure []float64 `toml:"pressure_pa"`
	} `toml:"atmosphere"`
}

func outside(t *testing.T) (a air) {
	t.Helper()
	text, err := os.ReadFile("../../testdata/air.toml")
	require.NoError(t, err)
	require.NoError(t, toml.Unmarshal(text, &a))
	return a
}
