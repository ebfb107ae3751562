package study

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"kneepoint/sim/si"
)

// In traffic at a steady idle a tank is full of what the idle gives and changes nothing;
// the words say so, and say something else where a tank does count.
func TestTankInTraffic(t *testing.T) {
	traffic := func(tank string, more ...string) *ReserveResult {
		flags := append([]string{"source.vacuum=10 inHg", "reserve.engine=idle", "reserve.deceleration=0.6 g", "reserve.stops=5"}, more...)
		if tank != "" {
			flags = append(flags, "reservoir.volume="+tank)
		}
		return reserveOf(t, typical(t, flags...))
	}
	words := func(r *ReserveResult) string { return strings.Join(r.Words(si.US), "\n") }
	without := traffic("")
	for _, tank := range []string{"2 L", "10 L"} {
		with := traffic(tank)
		for i, s := range with.Stops {
			// What little it changes is to the worse: one more check valve that shuts early.
			more := float64(s.Needed.Value()-without.Stops[i].Needed.Value()) / si.PoundForce
			assert.Greater(t, more, -0.5, "%s, stop %d", tank, i+1)
			assert.Less(t, more, 2.0, "%s, stop %d", tank, i+1)
		}
		assert.Contains(t, words(with), "tank changes nothing in traffic at a steady idle")
		assert.NotContains(t, words(with), "more stops")
	}
	assert.NotContains(t, words(without), "tank changes")
	assert.Contains(t, words(traffic("2 L", "reserve.engine=off")), "tank gives more stops")
	assert.Contains(t, words(traffic("2 L", "reserve.filled_at=cruise")), "tank takes what the overrun gave into the first stops")
	assert.Contains(t, words(traffic("2 L", "reserve.engine=cruise", "reserve.filled_at=cruise")), "while the engine is on the overrun")
}
