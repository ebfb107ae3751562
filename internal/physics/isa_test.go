package physics

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/si"
)

// The table of the International Standard Atmosphere (testdata/air.toml,
// atmosphere), to the pascal.
func TestPressureAtMatchesStandardAtmosphere(t *testing.T) {
	table := outside(t).Atmosphere
	require.NotEmpty(t, table.Altitude)
	require.Len(t, table.Pressure, len(table.Altitude))
	for i, h := range table.Altitude {
		assert.InDelta(t, table.Pressure[i], float64(PressureAt(si.Length(h))), 1, "%g m", h)
	}
}

func TestPressureFallsWithAltitude(t *testing.T) {
	last := PressureAt(-2000)
	for h := si.Length(-1900); h <= 11000; h += 100 {
		now := PressureAt(h)
		assert.Less(t, now, last)
		last = now
	}
}
