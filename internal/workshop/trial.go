package workshop

import (
	"context"
	"math"
	"slices"

	"kneepoint/internal/verdict"
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
	// Lasts is the time from the first reading to the second, Wait that from stopping the
	// engine to the first stop.
	Lasts, Wait si.Time
	// Axle is the one whose wheels are looked at.
	Axle verdict.Axle
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
	// yesFrom is the outcome from which an answer is yes, and misread the chance that it
	// is taken the wrong way round (estimates).
	yesFrom, misread float64
	// tools are those that it needs, and apart what taking things apart, and bleeding
	// afterwards, costs in minutes (estimates).
	tools []scenario.Tool
	apart float64
	// whileDrags says that it can only be done while a wheel drags.
	whileDrags bool

	form scenario.TestForm
	kind kind
}

// keys are those of all conditions, of those that may be left out too.
func (t *test) keys() []string { return slices.Concat(t.form.Conditions, t.form.Optional) }

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
func (t Trial) Condition(key string) answer.Optional[float64] {
	if key != "axle" && slices.Contains(t.test.keys(), key) {
		return answer.Of(t.condition(key))
	}
	return answer.None[float64]()
}

func (c Conditions) condition(key string) float64 {
	switch key {
	case "pedal":
		return float64(c.Pedal)
	case "start", "vacuum":
		return float64(c.Vacuum)
	case "lasts":
		return float64(c.Lasts)
	case "wait":
		return float64(c.Wait)
	}
	return math.NaN()
}

// Near reports whether two trials are one test with conditions so alike that the
// second would tell nothing new: a force or vacuum is written in round figures of
// one unit or another.
func (t Trial) Near(o Trial) bool { return t.within(o, 0.1) }

// Same reports whether two trials are one but for the last digits of their conditions, as
// they are written down.
func (t Trial) Same(o Trial) bool { return t.within(o, 6e-3) }

func (t Trial) within(o Trial, share float64) bool {
	close := func(a, b float64) bool { return math.Abs(a-b) <= share*max(math.Abs(a), math.Abs(b)) }
	return t.test == o.test && close(float64(t.Pedal), float64(o.Pedal)) &&
		close(float64(t.Vacuum), float64(o.Vacuum)) && close(float64(t.Lasts), float64(o.Lasts)) &&
		close(float64(t.Wait), float64(o.Wait)) && t.Axle == o.Axle
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

// Effort is what a trial costs, in minutes: its time, and what has to be taken apart and
// bled for it (estimates).
func (t Trial) Effort(fitted bool) float64 { return t.Minutes(fitted) + t.test.apart }

// Tools are those that the trial needs.
func (t Trial) Tools() []scenario.Tool {
	tools := t.test.tools
	if t.test.form.Reads != "answer" && t.test.name != scenario.PedalSinks && t.Pedal > 0 {
		tools = append(slices.Clone(tools), scenario.PedalGauge)
	}
	if t.test.byFoot && t.Vacuum > 0 {
		tools = append(slices.Clone(tools), scenario.VacuumGauge, scenario.HandPump)
	}
	return tools
}

// WhileDrags says that the trial can only be done while a wheel drags.
func (t Trial) WhileDrags() bool { return t.test.whileDrags }

// Key is the key of what is read.
func (t Trial) Key() string { return t.test.form.Reads }

// NeedsLine says that the trial needs a gauge in a brake line.
func (t Trial) NeedsLine() bool { return t.test.inLine }
