package workshop

import (
	"context"
	"math"

	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A Trial is a workshop test with its conditions. Two are the same test if they are
// equal.
type Trial struct {
	test *test
	Conditions
}

// Conditions are those of a test. Which of them hold depends on the test.
type Conditions struct {
	// Pedal is the force held.
	Pedal si.Force
	// Vacuum is that of the booster before a leak-down, or while a line pressure or a
	// travel is read.
	Vacuum si.Vacuum
	// Lasts is the time from the first reading to the second.
	Lasts si.Time
}

// A test is all that there is to say of a workshop test. How a reading of it is
// written, [scenario.TestForm], is the rest.
type test struct {
	name scenario.Test
	// recommended are the conditions under which it can be recommended, out of those
	// that suit the car.
	recommended func(s suited) []Conditions
	// words name it with its conditions; nil if it has none.
	words func(c Conditions, u si.System) string
	// how says what to do.
	how func(c Conditions, u si.System) string
	// simulate does it on a car whose instruments are right.
	simulate func(r *Rig, ctx context.Context, c Conditions) (float64, error)
	// byFoot says that without a vacuum it has something to show on a car without a
	// booster too; atGauge that a vacuum gauge shows the outcome as it is, with the
	// gauge's own error; inLine that there is a gauge in a brake line.
	byFoot, atGauge, inLine bool
	gauge                   instrument
	unlike                  spread // (estimates)
	// most is the largest outcome there can be, where the sound car has another.
	most func(c Conditions, sound float64, car *sim.Config) float64
	// minutes is how long it takes, without the plumbing of a gauge in the line
	// (estimates).
	minutes func(c Conditions) float64
	adds    scale

	form scenario.TestForm
	kind kind
}

// Test is the name of the test.
func (t Trial) Test() scenario.Test { return t.test.name }

// Words name a trial with its conditions.
func (t Trial) Words(u si.System) string {
	if t.test.words == nil {
		return string(t.test.name)
	}
	return t.test.words(t.Conditions, u)
}

// How says what to do.
func (t Trial) How(u si.System) string { return t.test.how(t.Conditions, u) }

// Condition is the condition that a key of a reading names, in SI; it does not exist
// where the test has no such key.
func (t Trial) Condition(key string) answer.Maybe {
	for _, k := range t.test.form.Conditions {
		if k == key {
			return answer.Maybe(t.condition(key))
		}
	}
	return answer.None()
}

func (c Conditions) condition(key string) float64 {
	switch key {
	case "pedal":
		return float64(c.Pedal)
	case "start", "vacuum":
		return float64(c.Vacuum)
	case "lasts":
		return float64(c.Lasts)
	}
	return math.NaN()
}

// Near reports whether two trials are one test with conditions so alike that the
// second would tell nothing new: a force or vacuum is written in round figures of
// one unit or another.
func (t Trial) Near(o Trial) bool {
	close := func(a, b float64) bool { return math.Abs(a-b) <= 0.05*max(math.Abs(a), math.Abs(b)) }
	return t.test == o.test && close(float64(t.Pedal), float64(o.Pedal)) &&
		close(float64(t.Vacuum), float64(o.Vacuum)) && close(float64(t.Lasts), float64(o.Lasts))
}

// LinePlumbing is the time to fit a gauge into a brake line and to bleed
// afterwards, in minutes (estimate): it counts once.
const LinePlumbing = 20.0

// Minutes is how long a trial takes (estimates); fitted says that there is a
// gauge in the line already.
func (t Trial) Minutes(fitted bool) float64 {
	m := t.test.minutes(t.Conditions)
	if t.test.inLine && !fitted {
		m += LinePlumbing
	}
	return m
}

// NeedsLine says that the trial needs a gauge in a brake line.
func (t Trial) NeedsLine() bool { return t.test.inLine }
