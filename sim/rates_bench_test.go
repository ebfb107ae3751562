package sim

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"kneepoint/sim/si"
)

// BenchmarkRates is one right-hand side and one Jacobian, at states along two stops.
func BenchmarkRates(b *testing.B) {
	m, err := New(Typical())
	require.NoError(b, err)
	s := m.Start()
	require.NoError(b, s.Settle(context.Background(), EngineIdle))
	s.Engine(EngineOff)
	for i := range 2 {
		s.Plan(Press{At: si.Time(1 + 4*float64(i)), Pedal: 200, Press: 0.3, Hold: 2, Release: 0.3})
	}
	var states [][]float64
	for i := range 256 {
		require.NoError(b, s.AdvanceTo(context.Background(), si.Time(float64(i)/32)))
		states = append(states, append([]float64(nil), s.y...))
	}
	n := m.plant.net
	dy, jac, dfdt := make([]float64, n.Size()), make([]float64, n.pattern.Len()), make([]float64, n.Size())
	b.Run("rates", func(b *testing.B) {
		i := 0
		for b.Loop() {
			n.Rates(1, states[(i/64)%256], dy)
			i++
		}
	})
	b.Run("jacobian", func(b *testing.B) {
		i := 0
		for b.Loop() {
			if i%64 == 0 {
				n.Rates(1, states[(i/64)%256], dy)
			}
			n.Jacobian(1, states[(i/64)%256], jac, dfdt)
			i++
		}
	})
}
