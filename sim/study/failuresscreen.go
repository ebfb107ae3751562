package study

import (
	"fmt"
	"slices"
	"strings"

	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// Screen says what the worst failure leaves, beside the others.
func (r *FailuresResult) Screen(u si.System) answer.Screen {
	s := answer.Screen{Verdict: []string{r.lead(u)}, Table: r.shortTable(), DependsOn: r.dependsOn(u)}
	if r.rearFirst() {
		s.Verdict[0] += " With nothing failed the rear wheels lock first. " + verdict.DangerousOrder
	}
	s.Next, s.Command = r.next(u)
	return s
}

// rearFirst says that the rear wheels of the sound car lock first.
func (r *FailuresResult) rearFirst() bool {
	return slices.ContainsFunc(r.Cases, func(c FailureCase) bool { return c.failure == nothingFailed && c.Best.Axle == verdict.RearAxle })
}

// shortTable has one row a case of the scenario's own master cylinder.
func (r *FailuresResult) shortTable() *answer.Table {
	t := &answer.Table{Columns: []answer.Column{
		{Key: "case", Title: "the best stop with (rules: those for new cars)"},
		{Key: "pedal", Title: "pedal", Dim: si.DimForce},
		{Key: "deceleration", Title: "slows", Dim: si.DimAcceleration},
		{Key: "stopping_distance", Title: "stops", Dim: si.DimLength},
		{Key: "pedal_travel", Title: "travel", Dim: si.DimLength},
		{Key: "passes", Title: "rules"},
	}}
	for i := range r.Cases {
		c := &r.Cases[i]
		if c.otherCylinder {
			continue
		}
		var passes answer.Cell
		for _, m := range c.Meetings {
			passes = m.Passes && (passes == nil || passes == true)
		}
		name := string(c.failure)
		if c.failure == stopsUsed || c.failure == engineDead {
			name = strings.Replace(name, "engine dead", r.sourceDead(), 1)
		}
		t.Rows = append(t.Rows, []answer.Cell{name, c.Best.Pedal.Cell(), c.Deceleration.Cell(), c.Distance.Cell(), c.PedalTravel.Cell(), passes})
	}
	return t
}

// dependsOn sets the worst failure beside what the other master cylinder, or the vacuum,
// would leave.
func (r *FailuresResult) dependsOn(u si.System) string {
	worst := r.worst()
	leaves := func(c *FailureCase) string {
		if !c.Distance.Exists() {
			return "nothing"
		}
		return slowing(c.Deceleration.Value(), u)
	}
	var other, sound *FailureCase
	for i := range r.Cases {
		c := &r.Cases[i]
		switch {
		case c.otherCylinder && c.failure == worst.failure:
			other = c
		case c.failure == nothingFailed:
			sound = c
		}
	}
	switch {
	case other != nil:
		return fmt.Sprintf("the master cylinder: with the %s one that is there %s leaves %s, with a %s one in its place %s",
			worst.Circuits, theFailure(worst), leaves(worst), other.Circuits, leaves(other))
	case sound != nil:
		return fmt.Sprintf("the vacuum: with all of it there is %s, and %s leaves %s", leaves(sound), theFailure(worst), leaves(worst))
	}
	return "the pedal force, up to " + pedal(r.PedalLimit, u) + " here"
}

func theFailure(c *FailureCase) string {
	switch c.failure {
	case frontLost, rearLost:
		return "a " + strings.TrimSuffix(string(c.failure), " lost") + " that is lost"
	case noVacuum:
		return "a booster without vacuum"
	}
	return "a dead engine"
}

// next is another master cylinder, other parts, or a look at the pedal's room.
func (r *FailuresResult) next(u si.System) (string, answer.Command) {
	var deepest answer.Optional[si.Length]
	for i := range r.Cases {
		c := &r.Cases[i]
		if !c.otherCylinder && (c.failure == frontLost || c.failure == rearLost) && c.PedalTravel.Exists() && !(c.PedalTravel.Value() <= deepest.Value()) {
			deepest = c.PedalTravel
		}
	}
	switch {
	case hasLost(&r.config):
		return mendFirst, answer.Command{}
	case r.rearFirst():
		return rearFirstNext(r.config.Car)
	case r.config.Master.Circuits == sim.MasterSingle:
		return "fit a dual master cylinder; this is what it leaves", answer.Command{Verb: toFailures.Verb, Args: []string{"--set", scenario.KeyMasterCircuits + "=dual"}}
	case r.needsOtherAssist():
		return seeParts, toChoose
	case !deepest.Exists():
		return seeHardStop, toCurve
	}
	return fmt.Sprintf("measure that the pedal can go %s down before it meets the floor: that is what a lost circuit takes", travel(deepest, u)), answer.Command{}
}
