package scenario

import (
	"slices"

	"kneepoint/internal/verdict"
	"kneepoint/sim/si"
)

// A Test is one that a workshop does on a car, for a diagnosis.
type Test string

// The tests there are.
const (
	LeakDown          Test = "leak-down"
	ManifoldVacuum    Test = "manifold-vacuum"
	BoosterVacuum     Test = "booster-vacuum"
	LinePressure      Test = "line-pressure"
	StopsLeft         Test = "stops-left"
	PedalDropsOnStart Test = "pedal-drops-on-start"
	PressureCreep     Test = "pressure-creep"
	PedalTravel       Test = "pedal-travel"
	PedalSettles      Test = "pedal-settles"
	Recharge          Test = "recharge"
	PedalSinks        Test = "pedal-sinks"
)

// Signs are tests that ask for what is seen, heard or felt, and for no gauge.
const (
	Hiss              Test = "hiss"
	PedalFeel         Test = "pedal-feel"
	WheelDrags        Test = "wheel-drags"
	CheckValveBlow    Test = "check-valve-blow"
	FluidInHose       Test = "fluid-in-hose"
	PinchHoses        Test = "pinch-hoses"
	PumpUp            Test = "pump-up"
	ParkingBrakeLifts Test = "parking-brake-lifts"
	ToeLiftFrees      Test = "toe-lift-frees"
	NutsFree          Test = "nuts-free"
	PipeFrees         Test = "pipe-frees"
	BleederFrees      Test = "bleeder-frees"
	IdleChanges       Test = "idle-changes"
	FluidLevel        Test = "fluid-level"
	Fountain          Test = "fountain"
	LiningsBad        Test = "linings-bad"
)

// A TestForm is how a reading of a test is written.
type TestForm struct {
	Test Test
	// Conditions are the keys of how the test was done, Reads that of what was read; all
	// of them are wanted. Optional are conditions that may be left out.
	Conditions []string
	Optional   []string
	Reads      string
	// Dim is the dimension of what was read; [si.DimNone] for a count, and for a yes or no.
	Dim si.Dimension
	// No and Yes are the words of an answer that is not one of those two.
	No, Yes string
}

// TestForms lists all tests, with how a reading of each is written.
func TestForms() []TestForm { return slices.Clone(testForms) }

var testForms = []TestForm{
	{Test: LeakDown, Conditions: []string{"pedal", "start", "lasts"}, Reads: "drop", Dim: si.DimVacuum},
	{Test: ManifoldVacuum, Reads: "value", Dim: si.DimVacuum},
	{Test: BoosterVacuum, Reads: "value", Dim: si.DimVacuum},
	{Test: LinePressure, Conditions: []string{"pedal", "vacuum"}, Reads: "value", Dim: si.DimPressure},
	{Test: StopsLeft, Optional: []string{"wait"}, Reads: "count"},
	{Test: PedalDropsOnStart, Reads: "answer"},
	{Test: PressureCreep, Conditions: []string{"pedal", "lasts"}, Reads: "value", Dim: si.DimPressure},
	{Test: PedalTravel, Conditions: []string{"pedal", "vacuum"}, Reads: "travel", Dim: si.DimLength},
	{Test: PedalSettles, Conditions: []string{"pedal"}, Reads: "takes", Dim: si.DimTime},
	{Test: Recharge, Conditions: []string{"pedal"}, Reads: "takes", Dim: si.DimTime},
	{Test: PedalSinks, Conditions: []string{"pedal", "lasts"}, Reads: "travel", Dim: si.DimLength},
	{Test: Hiss, Conditions: []string{"pedal"}, Reads: "answer"},
	{Test: PedalFeel, Reads: "answer", No: "firm", Yes: "spongy"},
	{Test: WheelDrags, Conditions: []string{"axle"}, Reads: "answer"},
	{Test: CheckValveBlow, Reads: "answer"},
	{Test: FluidInHose, Reads: "answer"},
	{Test: PinchHoses, Reads: "answer"},
	{Test: PumpUp, Reads: "answer"},
	{Test: ParkingBrakeLifts, Reads: "answer"},
	{Test: ToeLiftFrees, Optional: []string{"axle"}, Reads: "answer"},
	{Test: NutsFree, Optional: []string{"axle"}, Reads: "answer"},
	{Test: PipeFrees, Optional: []string{"axle"}, Reads: "answer"},
	{Test: BleederFrees, Optional: []string{"axle"}, Reads: "answer"},
	{Test: IdleChanges, Conditions: []string{"pedal"}, Reads: "answer"},
	{Test: FluidLevel, Reads: "answer", No: "steady", Yes: "falls"},
	{Test: Fountain, Reads: "answer"},
	{Test: LiningsBad, Reads: "answer"},
}

// Form is how a reading of the test is written; ok is false if there is no such test.
func (t Test) Form() (f TestForm, ok bool) {
	for _, f := range testForms {
		if f.Test == t {
			return f, true
		}
	}
	return TestForm{}, false
}

// Tests returns all tests.
func Tests() []Test {
	out := make([]Test, len(testForms))
	for i, f := range testForms {
		out[i] = f.Test
	}
	return out
}

// readsVacuum says that the test's gauge shows a vacuum, and not a line pressure.
func (t Test) readsVacuum() bool {
	f, ok := t.Form()
	return ok && f.Dim == si.DimVacuum
}

// fields returns the keys of a reading of the test, all of them wanted.
func (t Test) fields() []string {
	f, ok := t.Form()
	if !ok {
		return nil
	}
	return append(slices.Clone(f.Conditions), f.Reads)
}

// PressedPedal is the force of a pedal that a reading calls pressed: an ordinary stop
// (estimate).
const PressedPedal si.Force = 100

// A Reading is the outcome of one test. Which fields hold depends on the test.
type Reading struct {
	Test Test
	// Pedal is the force held: leak-down, line-pressure, pressure-creep,
	// pedal-travel, pedal-settles, recharge.
	Pedal si.Force
	// Start is the vacuum before a leak-down, Drop what is lost while it Lasts.
	Start si.Vacuum
	Lasts si.Time
	Drop  si.Vacuum
	// Vacuum is what the booster had when the line pressure, or the travel, was read.
	Vacuum si.Vacuum
	// Value, in Pa, is a vacuum for manifold-vacuum and booster-vacuum, a line
	// pressure for line-pressure, and its rise for pressure-creep.
	Value float64
	// Count is the number of stops left, Answer whether a sign is there; of two words, as
	// the test has them, the second.
	Count  int
	Answer bool
	// Travel is that of the pedal from rest, Takes the time of pedal-settles and
	// recharge.
	Travel si.Length
	Takes  si.Time
	// Axle is the one whose wheels are looked at.
	Axle verdict.Axle
	// Wait is the time from stopping the engine to the first of the stops left.
	Wait si.Time
	// Error, in the SI unit of what was read, is the half width of the gauge's
	// error; 0 if it was not given.
	Error float64
	// Between holds what is known of a reading that is a range or a bound, in SI, and
	// CantTell says that nothing is.
	Between  *Between
	CantTell bool
}

// Between is a range, ends included; an open end is infinite.
type Between struct{ Low, High float64 }
