// Package scenario reads a car, and what happens to it, from a TOML document or
// from flags. One table of keys drives reading, the limits, the list that
// `check --verbose` prints, changing single values and writing again.
//
// A [Scenario] is complete: what was not set has a default. It is a value to
// read; to change one, use [Scenario.With] or [Scenario.Edit], which work out
// anew what depends on the change.
package scenario

import (
	"kneepoint/sim"
	"kneepoint/sim/si"
)

// A Scenario is one car with the questions put to it, resolved: SI values,
// defaults filled in.
type Scenario struct {
	Title  string
	Config sim.Config
	// Manual is the pedal without a booster to compare with.
	Manual  Manual
	Reserve Reserve
	// Presses and Events are in the order written; no press overlaps another.
	// Schedule puts them in order of time.
	Presses  []sim.Press
	Events   []sim.Event
	Readings []Reading
	Diagnose Diagnose
	Choose   Choose
	Fit      Fit
	// Spreads are the tolerances that were written with quantities, and that of
	// an idle vacuum estimated from the cam.
	Spreads []Spread
	// Warnings are what is unlikely, or set and not used.
	Warnings []Problem

	also also
	// estimated says that the idle vacuum was not set, and comes from the cam.
	estimated bool
	input     *input
	// set holds the latest setting of every path.
	set map[string]setting
}

// also holds values that other values are worked out from and that have no
// place in the configuration.
type also struct {
	altitude   si.Length
	measuredAt si.Length
	front      pistons
	rear       pistons
	residual   si.Pressure
	inNeutral  si.Vacuum
	tyre       si.Length
	// idling holds the cam; what it has in common with the configuration is
	// filled in from there.
	idling sim.IdlingEngine
}

// pistons are the pistons on one side of one caliper, or one of a wheel cylinder.
type pistons struct {
	diameter si.Length
	count    int
	// rotor and drum are diameters of what the brake grips.
	rotor, drum si.Length
}

// Manual is a pedal straight on a master cylinder.
type Manual struct {
	PedalRatio si.Ratio
	Bore       si.Length
}

// A Spread is the half width of the tolerance of a quantity, in SI.
type Spread struct {
	Path      string
	Dim       si.Dimension
	Value     float64
	HalfWidth float64
	// Estimated says that it was not written: it is the band of an estimate.
	Estimated bool
}

// Stdin is the name of what was read from standard input.
const Stdin = "stdin"

// Name returns where the scenario was read from: a file's path, Stdin or "built-in".
func (s *Scenario) Name() string { return s.input.name }

// IsBuiltin reports whether the scenario is the built-in car, apart from flags.
func (s *Scenario) IsBuiltin() bool { return s.input.builtin }

// IsSet reports whether the path, such as "booster.area", was set rather than
// left to its default. A table's name asks for any key of it.
func (s *Scenario) IsSet(path string) bool {
	if _, ok := s.set[path]; ok {
		return true
	}
	return s.input.hasTable(path)
}

// Altitude returns the altitude that the air pressure follows from; ok is false where
// none was set.
func (s *Scenario) Altitude() (h si.Length, ok bool) {
	_, ok = s.set[KeyAmbientAltitude]
	return s.also.altitude, ok
}
