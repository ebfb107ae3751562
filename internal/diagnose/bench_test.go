package diagnose

import (
	"testing"

	"github.com/stretchr/testify/require"

	"kneepoint/internal/workshop"
	"kneepoint/sim"
)

// The answer to a fifth reading, where the car was asked about before any.
func BenchmarkFifthReading(b *testing.B) {
	s := garage(b, "stock-ten-inch")
	l, err := newFocused(b.Context(), s, nil)
	require.NoError(b, err)
	readings := exact(b, l, []sim.Fault{workshop.FaultAt(sim.FaultAirSeatLeak, 0.4)}, 0, 1, 2, 3, 4)
	for i := range readings {
		_, err := l.Weigh(b.Context(), readings[:i])
		require.NoError(b, err)
	}
	for b.Loop() {
		_, err := l.Weigh(b.Context(), readings)
		require.NoError(b, err)
	}
}
