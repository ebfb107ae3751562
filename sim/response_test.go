package sim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

// lineAfter is the line pressure a time after a foot began a press of the given length.
func lineAfter(t *testing.T, c sim.Config, pedal si.Force, press, after si.Time) float64 {
	t.Helper()
	out := run(t, c, sim.Schedule{
		Presses: []sim.Press{{At: 0, Pedal: pedal, Press: press, Hold: 10, Release: 1}},
		Until:   after,
	})
	return float64(out.At(after).LineFront)
}

// A jab outruns the air valve: at the full force of the foot the line has less
// than a slow press gives at the same force, and gets there as the chamber fills.
func TestJabOutrunsTheAirValve(t *testing.T) {
	c := bench(66.7e3)
	const pedal = 120
	slow := lineAfter(t, c, pedal, 10, 10)
	jab := lineAfter(t, c, pedal, 0.05, 0.05)
	held := lineAfter(t, c, pedal, 0.05, 2)
	assert.Less(t, jab, 0.5*slow)
	assert.InEpsilon(t, slow, held, 0.03)
	t.Logf("slow %.2f MPa, jab %.2f, held %.2f", slow/1e6, jab/1e6, held/1e6)
}

// Half the air valve makes the jab later, and leaves the slow curve's knee alone.
func TestAirValveMovesTheJabAndNotTheKnee(t *testing.T) {
	full := frictionless(66.7e3, sim.BoosterOf(0.254))
	half := full
	half.Booster.AirValve /= 2
	const pedal = 120
	a, b := lineAfter(t, full, pedal, 0.05, 0.1), lineAfter(t, half, pedal, 0.05, 0.1)
	assert.Less(t, b, 0.8*a)

	knee := func(c sim.Config) float64 {
		curve := curveOf(t, c, 1100)
		slope, atZero := fit(t, curve, 250, 480)
		beyond, beyondZero := fit(t, curve, 850, 1050)
		return (beyondZero - atZero) / (slope - beyond)
	}
	assert.InEpsilon(t, knee(full), knee(half), 0.02)
	t.Logf("jab %.2f and %.2f MPa, knee %.1f and %.1f N", a/1e6, b/1e6, knee(full), knee(half))
}

// A blocked filter is a small air valve, too: slow help.
func TestBlockedFilterSlowsTheHelp(t *testing.T) {
	c := bench(66.7e3)
	blocked := c
	blocked.Faults = []sim.Fault{{Name: sim.FaultFilterBlocked, Open: 0.03}}
	const pedal = 120
	assert.Less(t, lineAfter(t, blocked, pedal, 0.05, 0.15), 0.5*lineAfter(t, c, pedal, 0.05, 0.15))
	assert.InEpsilon(t, lineAfter(t, c, pedal, 10, 12), lineAfter(t, blocked, pedal, 10, 12), 0.03)
}
