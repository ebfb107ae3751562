package scenario

import (
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

// Tests returns all tests.
func Tests() []Test {
	return []Test{LeakDown, ManifoldVacuum, BoosterVacuum, LinePressure, StopsLeft, PedalDropsOnStart, PressureCreep, PedalTravel, PedalSettles, Recharge}
}

// readsVacuum says that the test's gauge shows a vacuum, and not a line pressure.
func (t Test) readsVacuum() bool { return t == ManifoldVacuum || t == BoosterVacuum || t == LeakDown }

// fields returns the keys of a reading of the test, all of them wanted.
func (t Test) fields() []string {
	switch t {
	case LeakDown:
		return []string{"pedal", "start", "lasts", "drop"}
	case ManifoldVacuum, BoosterVacuum:
		return []string{"value"}
	case LinePressure:
		return []string{"pedal", "vacuum", "value"}
	case StopsLeft:
		return []string{"count"}
	case PedalDropsOnStart:
		return []string{"answer"}
	case PressureCreep:
		return []string{"pedal", "lasts", "value"}
	case PedalTravel:
		return []string{"pedal", "vacuum", "travel"}
	case PedalSettles, Recharge:
		return []string{"pedal", "takes"}
	default:
		return nil
	}
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
