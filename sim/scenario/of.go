package scenario

import (
	"slices"

	"kneepoint/sim"
)

// Of returns the scenario of a car and a drive that were made up elsewhere, so
// that its Document can be written and run again. All that is no part of either is
// that of the built-in car.
func Of(title string, c sim.Config, plan sim.Schedule) (*Scenario, error) {
	s, err := Builtin()
	if err != nil {
		return nil, err
	}
	s.Title = title
	s.Config = c
	s.Config.Faults = slices.Clone(c.Faults)
	s.Presses = slices.Clone(plan.Presses)
	s.Events = slices.Clone(plan.Events)
	return s, nil
}
