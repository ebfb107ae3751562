package scenario

import (
	"slices"

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
)

// A TestForm is how a reading of a test is written.
type TestForm struct {
	Test Test
	// Conditions are the keys of how the test was done, Reads that of what was read; all
	// of them are wanted.
	Conditions []string
	Reads      string
	// Dim is the dimension of what was read; [si.DimNone] for a count, and for a yes or no.
	Dim si.Dimension
}

// TestForms lists all tests, with how a reading of each is written.
func TestForms() []TestForm { return slices.Clone(testForms) }

var testForms = []TestForm{
	{LeakDown, []string{"pedal", "start", "lasts"}, "drop", si.DimVacuum},
	{ManifoldVacuum, nil, "value", si.DimVacuum},
	{BoosterVacuum, nil, "value", si.DimVacuum},
	{LinePressure, []string{"pedal", "vacuum"}, "value", si.DimPressure},
	{StopsLeft, nil, "count", si.DimNone},
	{PedalDropsOnStart, nil, "answer", si.DimNone},
	{PressureCreep, []string{"pedal", "lasts"}, "value", si.DimPressure},
	{PedalTravel, []string{"pedal", "vacuum"}, "travel", si.DimLength},
	{PedalSettles, []string{"pedal"}, "takes", si.DimTime},
	{Recharge, []string{"pedal"}, "takes", si.DimTime},
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
	// Count is the number of stops left, Answer whether the pedal drops.
	Count  int
	Answer bool
	// Travel is that of the pedal from rest, Takes the time of pedal-settles and
	// recharge.
	Travel si.Length
	Takes  si.Time
	// Error, in the SI unit of what was read, is the half width of the gauge's
	// error; 0 if it was not given.
	Error float64
}
