package web

import (
	"context"
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

// BenchmarkLiveStep drives a car as a page does at 60 pictures a second, through
// the whole handler, a stop every 4 s with the engine off now and then. It reports
// the simulated seconds for each second of computing: real time is kept with that
// margin.
func BenchmarkLiveStep(b *testing.B) {
	for _, name := range []string{"stock-ten-inch", "big-cam-reservoir", "big-cam-tandem"} {
		b.Run(name, func(b *testing.B) {
			c := newClient(b, starterScenario(b, name))
			path, _ := c.create("{}")
			bodies := make([]string, 960)
			for i := range bodies {
				bodies[i] = body(b, live(i))
			}
			b.ResetTimer()
			for i := range b.N {
				c.post(path+"/step", bodies[i%len(bodies)], http.StatusOK, nil)
			}
			b.ReportMetric(float64(b.N)/60/b.Elapsed().Seconds(), "sim-s/s")
		})
	}
}

// BenchmarkModelAlone is the same without the server, to see what that costs.
func BenchmarkModelAlone(b *testing.B) {
	s := starterScenario(b, "stock-ten-inch")
	m, err := sim.New(s.Config)
	require.NoError(b, err)
	session := m.Start()
	require.NoError(b, session.Settle(context.Background(), sim.EngineIdle))
	engine := sim.EngineIdle
	for i := range b.N {
		in := live(i)
		if in.Engine != engine {
			session.Engine(in.Engine)
			engine = in.Engine
		}
		session.Pedal(in.Pedal, in.Dt)
		require.NoError(b, session.Advance(context.Background(), in.Dt))
	}
	b.ReportMetric(float64(b.N)/60/b.Elapsed().Seconds(), "sim-s/s")
}

// live is the i-th step of a driver.
func live(i int) stepRequest {
	in := stepRequest{Dt: 1.0 / 60, Engine: sim.EngineIdle}
	switch k := i % 240; {
	case k < 20:
		in.Pedal = si.Force(10 * k)
	case k < 120:
		in.Pedal = 200
	}
	if i%960 > 480 {
		in.Engine = sim.EngineOff
	}
	return in
}
