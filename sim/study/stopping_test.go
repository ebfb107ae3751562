package study

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"kneepoint/internal/verdict"
	"kneepoint/sim/si"
)

// S = 0.10 V + k V² with the regulations' coefficients, and the mean
// decelerations that they print beside it: UN R13-H, annex 3 (secondary copy of
// the figures); 168 m and 70 m from 100 km/h are those of FMVSS 135.
func TestStoppingDistanceIsThatOfTheRegulations(t *testing.T) {
	for _, c := range []struct{ k, deceleration, distance float64 }{
		{0.0060, 6.43, 70}, {0.0067, 5.76, 77}, {0.0158, 2.44, 168},
	} {
		a := verdict.SteadyDeceleration(c.k)
		assert.InDelta(t, c.deceleration, float64(a), 0.005)
		assert.InDelta(t, c.distance, float64(verdict.StoppingDistance(100*si.Speed(1000)/3600, a).Value()), 1e-9)
		for _, v := range []float64{40, 100, 160} {
			assert.InDelta(t, 0.10*v+c.k*v*v, float64(verdict.StoppingDistance(si.Speed(v/3.6), a).Value()), 1e-9)
		}
	}
	assert.False(t, verdict.StoppingDistance(20, 0).Exists())
}

func TestRequirementsNeedWhatTheySay(t *testing.T) {
	for _, q := range requirements() {
		assert.Equal(t, si.Force(500), q.PedalLimit, q.Name)
		assert.NotEqual(t, q.Distance.Exists(), q.Deceleration.Exists(), q.Name)
		assert.NotEmpty(t, q.Trust, q.Name)
		if q.Distance.Exists() {
			assert.InDelta(t, float64(q.Distance.Value()), float64(verdict.StoppingDistance(stopFrom, si.Acceleration(q.needs())).Value()), 1e-9, q.Name)
		}
	}
}
