package workshop

import (
	"fmt"
	"math"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

// Gauges are the errors of the instruments used on one car: what they show is
// wrong by the same amount in every test.
type Gauges struct {
	// Vacuum is added to every vacuum read.
	Vacuum si.Vacuum
	// Pedal is the share by which the force at the pedal is more than it reads.
	Pedal si.Ratio
}

// kind is what is read off a test: a figure, a number of stops, or a yes or no.
type kind int

const (
	figure kind = iota
	count
	yesOrNo
	byChance
)

// IsYesNo says that the reading is an answer and no figure.
func (t Trial) IsYesNo() bool { return t.test.kind == yesOrNo || t.test.kind == byChance }

// ByChance says that the outcome is the chance of a yes, out of the table of signs, and
// not what is simulated.
func (t Trial) ByChance() bool { return t.test.kind == byChance }

// YesFrom is the outcome from which an answer is yes.
func (t Trial) YesFrom() float64 { return t.test.yesFrom }

// Misread is the chance that an answer is taken, or put down, the wrong way round
// (estimate).
func (t Trial) Misread() float64 { return t.test.misread }

// Counts says that the reading is a number of stops.
func (t Trial) Counts() bool { return t.test.kind == count }

// WatchedTo is the time to which a watch runs where the outcome is a time, and that is put
// down for all that takes longer; ok is false for all other tests.
func (t Trial) WatchedTo() (end float64, ok bool) {
	return float64(waitMost), t.test.form.Reads == "takes"
}

// Dimension is that of the figure read; that of a number for a count, or a yes or no.
func (t Trial) Dimension() si.Dimension { return t.test.form.Dim }

const (
	// feltFrom is the travel of the pedal, in m, from which a foot feels it, flowHeard the
	// flow of air, in kg/s, from which it is heard, and idleHeard that from which an engine
	// at idle changes its sound (estimates).
	feltFrom  = 5e-3
	flowHeard = 0.25e-3
	idleHeard = 0.35e-3
	// MostStops is where the count of stops ends.
	MostStops = 8
)

// slip is the chance that an answer was put down the wrong way round (estimate).
const slip = 0.01

// An instrument is how closely a test is read: the half width of the error where a
// reading gives none, and the step in which it is read, in the unit of the outcome.
type instrument struct{ half, step float64 }

// Estimates.
var (
	needle     = instrument{0.5 * float64(si.InchOfMercury), 0.25 * float64(si.InchOfMercury)}
	difference = instrument{1e3, needle.step} // of two readings of one vacuum gauge
	line       = instrument{0.2e6, 10 * float64(si.PoundPerSquareInch)}
	lineRise   = instrument{0.15e6, line.step}
	rule       = instrument{4e-3, 1e-3} // held beside a pedal that a foot is on
	watch      = instrument{0.5, 0.1}   // stopped by hand when a needle or pedal stands
	counting   = instrument{0.5, 1}
	felt       = instrument{3e-3, 0} // travel of the pedal
	ear        = instrument{0.15e-3, 0}
	inHalf     = instrument{0.5, 0} // a sign that is there half as often again is told apart
)

// Gauge returns the half width of the error of a trial's instrument and the step
// in which it is read, on the scale of the outcome: in SI, a count in stops, and for a
// yes or no the travel of the pedal that decides it (estimates).
func (t Trial) Gauge() (half, step float64) {
	return t.test.gauge.half, t.test.gauge.step
}

// Scatter is the variance of one reading about what the simulated car does:
// the gauge's error, taken as even over its width, and the step; given is the
// half width that came with the reading, 0 for none.
func (t Trial) Scatter(given float64) float64 {
	half, step := t.Gauge()
	if given > 0 {
		half = given
	}
	return (half*half + step*step/4) / 3
}

// Felt drops a slope that is far below what the gauge shows.
func (t Trial) Felt(slope float64) float64 {
	half, _ := t.Gauge()
	if math.Abs(slope) < 0.01*half {
		return 0
	}
	return slope
}

// A spread is the standard deviation by which a real car differs from a simulated one
// with all its figures right: some, and a share of the outcome.
type spread struct{ some, share float64 }

// Unlike is the variance by which a real car differs from a simulated one
// with all its figures right (estimates). What outlasts the watch on the one does on the other:
// most of it by far.
func (t Trial) Unlike(outcome float64) float64 {
	d := t.test.unlike.some
	if end, timed := t.WatchedTo(); !timed || outcome < end {
		d += t.test.unlike.share * outcome
	}
	return d * d
}

// Most is the largest outcome there can be, for readings that nothing explains.
func (t Trial) Most(sound float64, c *sim.Config) float64 { return t.test.most(t.Conditions, sound, c) }

// Shows is what is put down of an outcome: a figure, a whole number of stops, or 1
// and 0 for yes and no.
func (t Trial) Shows(outcome float64) float64 {
	switch {
	case t.IsYesNo() && outcome >= t.YesFrom():
		return 1
	case t.IsYesNo():
		return 0
	case t.Counts():
		return math.Floor(outcome)
	}
	return outcome
}

// Word is the word of an answer.
func (t Trial) Word(yes bool) string {
	no, ja := t.test.form.No, t.test.form.Yes
	if ja == "" {
		no, ja = "no", "yes"
	}
	if yes {
		return ja
	}
	return no
}

// Print returns the value of a reading as it is shown.
func (t Trial) Print(v float64, u si.System) string {
	switch {
	case t.ByChance() && v > 0.005 && v < 0.995:
		return fmt.Sprintf("%s in %.0f %%", t.Word(true), 100*v)
	case t.IsYesNo():
		return t.Word(v >= t.YesFrom())
	case t.Counts():
		return fmt.Sprintf("%d", int(v))
	}
	return printed(t.Dimension(), v, u)
}

// printed is a figure to what a gauge shows, and finer where that would be next to nothing:
// what was read as 0.2 inHg was not 0.
func printed(d si.Dimension, v float64, u si.System) string {
	unit := d.Unit(u)
	if x := math.Abs(unit.Of(v)); x >= unit.Step/5 && x < 3*unit.Step {
		return fmt.Sprintf("%v %s", si.Significant(unit.Of(v), 2), unit.Name)
	}
	return si.Format(d, v, u)
}
