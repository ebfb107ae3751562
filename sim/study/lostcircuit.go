package study

import (
	"fmt"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
)

// mendFirst is the advice for a car of which a circuit is lost.
const mendFirst = "find where the circuit is lost and mend it before the car is driven"

// hasLost reports whether a circuit of a car is lost.
func hasLost(c *sim.Config) bool { return c.Front.Lost || c.Rear.Lost }

// lostOf names what is lost; empty where nothing is.
func lostOf(c *sim.Config) string {
	switch {
	case c.Front.Lost && c.Rear.Lost:
		return "both circuits are"
	case c.Front.Lost:
		return "the front circuit is"
	case c.Rear.Lost:
		return "the rear circuit is"
	}
	return ""
}

// LostWords say that a circuit of a car is lost, and that all that is said of its stops is
// said of what is left; empty where none is.
func LostWords(c *sim.Config) string {
	if !hasLost(c) {
		return ""
	}
	return fmt.Sprintf("Do not drive it: in this scenario %s lost, and these figures are of what is left. Mend that first.", lostOf(c))
}

// whole is a car with both circuits whole.
func whole(c sim.Config) sim.Config {
	c.Front.Lost, c.Rear.Lost = false, false
	return c
}

// mended is the scenario of such a car.
func mended(s *scenario.Scenario) (*scenario.Scenario, error) {
	var set []scenario.Setting
	if s.Config.Front.Lost {
		set = append(set, scenario.Setting{Path: scenario.KeyCircuitFrontLost, Value: "false"})
	}
	if s.Config.Rear.Lost {
		set = append(set, scenario.Setting{Path: scenario.KeyCircuitRearLost, Value: "false"})
	}
	if len(set) == 0 {
		return s, nil
	}
	return s.Edit(set)
}
