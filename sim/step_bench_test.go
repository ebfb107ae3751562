package sim

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"kneepoint/sim/si"
)

// tenStops is ten applications at a fixed force, with the engine as given.
func tenStops(b *testing.B, m *Model, settled *Session, engine EngineState) {
	s := settled.Fork()
	s.Engine(engine)
	for i := range 10 {
		s.Plan(Press{At: si.Time(1 + 8.6*float64(i)), Pedal: 200, Press: 0.3, Hold: 2, Release: 0.3})
	}
	require.NoError(b, s.AdvanceTo(context.Background(), 87))
}

// BenchmarkTenStops is the solver's part of a question about stops left: ten of
// them at a fixed force. It reports steps, and time for each of them.
func BenchmarkTenStops(b *testing.B) {
	for name, engine := range map[string]EngineState{"off": EngineOff, "idle": EngineIdle} {
		b.Run(name, func(b *testing.B) {
			m, err := New(Typical())
			require.NoError(b, err)
			settled := m.Start()
			require.NoError(b, settled.Settle(context.Background(), EngineIdle))
			b.ReportAllocs()
			before := m.Stats()
			for b.Loop() {
				tenStops(b, m, settled, engine)
			}
			after := m.Stats()
			steps := float64(after.Steps - before.Steps)
			b.ReportMetric(steps/float64(b.N), "steps/op")
			b.ReportMetric(float64(after.Rejected-before.Rejected)/float64(b.N), "rejected/op")
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/steps, "ns/step")
		})
	}
}
