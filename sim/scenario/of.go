package scenario

import (
	"slices"
	"strings"

	"kneepoint/sim"
)

// Of returns the scenario of a car and a drive that were made up elsewhere. All that is
// no part of either is that of the built-in car. It is read back from its own document,
// so that every change by With or Edit is a change of that car; one that cannot be is an
// [*InputError].
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
	return Read(strings.NewReader(s.Document()), "made up")
}
