package web

import (
	"cmp"

	"kneepoint/internal/ask"
	"kneepoint/internal/report"
	"kneepoint/internal/verdict"
	"kneepoint/internal/workshop"
	"kneepoint/scenarios"
	"kneepoint/sim"
	"kneepoint/sim/si"
)

// A setup is what the page needs once: units, starters, faults, the lessons' bench and the caution.
type setup struct {
	Caution  string                     `json:"caution"`
	Units    map[string]map[string]unit `json:"units"`
	Lessons  lessonSetup                `json:"lessons"`
	Starters []starter                  `json:"starters"`
	Faults   []faultChoice              `json:"faults"`
	// Questions are those of ask, Complaints those that a search for a fault begins with.
	Questions  []ask.Question           `json:"questions"`
	Complaints []workshop.ComplaintLine `json:"complaints"`
	// Given is the car that the program was started with, which is then the page's; empty
	// where it was started with none.
	Given string `json:"given"`
}

// A unit prints an SI value: value/scale, to the step.
type unit struct {
	Name  string  `json:"name"`
	Scale float64 `json:"scale"`
	Step  float64 `json:"step"`
}

type starter struct {
	Name  string `json:"name"`
	Title string `json:"title"`
}

type faultChoice struct {
	Name    sim.FaultName    `json:"name"`
	Measure sim.FaultMeasure `json:"measure"`
}

// shown are the dimensions that the page prints.
var shown = map[string]si.Dimension{
	"force": si.DimForce, "pressure": si.DimPressure, "vacuum": si.DimVacuum, "length": si.DimLength,
	"acceleration": si.DimAcceleration, "mass_flow": si.DimMassFlow, "rotation": si.DimRotation,
}

func newSetup() setup {
	s := setup{Caution: report.Caution, Units: map[string]map[string]unit{}, Questions: ask.Questions(), Complaints: workshop.ComplaintLines()}
	for _, system := range []si.System{si.US, si.SI} {
		units := map[string]unit{}
		for name, dim := range shown {
			u := dim.Unit(system)
			units[name] = unit{u.Name, u.Scale, u.Step}
		}
		s.Units[system.String()] = units
	}
	for _, name := range scenarios.Names() {
		s.Starters = append(s.Starters, starter{name, cmp.Or(scenarios.Title(name), name)})
	}
	s.Lessons = lessonSetup{verdict.EasyPedal, verdict.HeavyPedal, bench, findable}
	for _, name := range sim.FaultNames() {
		s.Faults = append(s.Faults, faultChoice{name, name.Measure()})
	}
	return s
}
