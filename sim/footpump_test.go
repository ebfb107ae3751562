package sim

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/si"
)

// Next to no vacuum, no engine, and a foot that presses with all it has: the vacuum rises
// from stop to stop. The foot is the pump. While the pedal pushes the hub, the front
// chamber's air leaves by the check valve. While the brakes push it back, the plunger still
// ahead of it, the front chamber grows behind a check valve that is shut, and the rear one
// shrinks, whose air leaves by the open air seat. Then the seats change over, and the two
// chambers share what is left. The sums here are those of a closed box of ideal gas, on
// volumes worked out from the hub's travel; none of the model's flows is taken over.
func TestAFootPumpsVacuum(t *testing.T) {
	const (
		gasConstant = 287.05
		foot        = 1416
		stops       = 3
		start       = 0.5 * inHg
	)
	c := Typical()
	c.Booster = BoosterOf(7 * si.Inch)
	c.Source.Kind = SourceBench
	c.Source.Vacuum = start
	m, err := New(c)
	require.NoError(t, err)
	s := m.Start()
	require.NoError(t, s.Settle(context.Background(), EngineIdle))
	s.Engine(EngineOff)
	s.Record()
	from := s.Time()
	for range stops {
		s.Pedal(foot, 0.3)
		require.NoError(t, s.Advance(context.Background(), 2.3))
		s.Pedal(0, 0.3)
		require.NoError(t, s.Advance(context.Background(), 6.3))
	}
	run := s.Trajectory().Every(0.5e-3)

	ambient, b := float64(c.Ambient.Pressure), c.Booster
	front := func(x State) (p, v, mass float64) {
		p, v = ambient-float64(x.FrontVacuum), float64(b.FrontVolume)-float64(b.Area)*float64(x.Hub)
		return p, v, p * v / (gasConstant * float64(x.FrontTemperature))
	}
	rear := func(x State) (mass float64) {
		v := float64(b.RearVolume) + float64(b.Area-b.TailArea)*float64(x.Hub)
		return (ambient - float64(x.WorkingVacuum)) * v / (gasConstant * float64(x.WorkingTemperature))
	}
	reached := start
	for stop := range stops {
		begins := from + si.Time(stop)*8.6
		at := func(after si.Time) int { return int(math.Round(float64(begins-from+after) / 0.5e-3)) }
		held, end := run[at(2.3)], run[at(8.6)]
		change := at(2.3)
		for run[change].VacuumOpen < 1e-6 {
			change++
		}
		open := run[change]
		p1, v1, front1 := front(held)
		p2, v2, front2 := front(open)
		assert.Greater(t, v2, 1.02*v1, "stop %d: the hub comes back before the seats change over", stop+1)
		// Without a way in or out, between a slow expansion and one without heat.
		assert.InEpsilon(t, front1, front2, 2e-3, "stop %d: nothing passes the check valve", stop+1)
		assert.LessOrEqual(t, p2, 1.001*p1*v1/v2, "stop %d", stop+1)
		assert.GreaterOrEqual(t, p2, 0.999*p1*math.Pow(v1/v2, 1.4), "stop %d", stop+1)
		assert.Less(t, rear(open), 0.98*rear(held), "stop %d: air leaves behind", stop+1)
		// The two chambers share it, at the ambient's temperature in the end.
		shared := (front2 + rear(open)) * gasConstant * float64(c.Ambient.Temperature) / float64(b.FrontVolume+b.RearVolume)
		assert.InDelta(t, ambient-shared, float64(end.FrontVacuum), 150, "stop %d", stop+1)
		assert.GreaterOrEqual(t, end.FrontVacuum, reached-10, "stop %d", stop+1)
		reached = end.FrontVacuum
		t.Logf("stop %d: front %.2f to %.2f L at %.1f to %.1f kPa; rear %.2f to %.2f g; %.2f inHg in the end, %.2f by the sum", stop+1,
			1e3*v1, 1e3*v2, p1/1e3, p2/1e3, 1e3*rear(held), 1e3*rear(open), float64(end.FrontVacuum/inHg), (ambient-shared)/float64(inHg))
	}
	assert.Greater(t, reached, 10*start)
}
