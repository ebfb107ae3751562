package workshop

import (
	"fmt"
	"math"

	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// TrialOf returns the trial of a reading, without what was read.
func TrialOf(r scenario.Reading) (Trial, error) {
	test := testOf(r.Test)
	if test == nil {
		return Trial{}, fmt.Errorf("there is no workshop test %q", string(r.Test))
	}
	t := Trial{test: test}
	for _, key := range test.form.Conditions {
		switch key {
		case "pedal":
			t.Pedal = r.Pedal
		case "start":
			t.Vacuum = r.Start
		case "vacuum":
			t.Vacuum = r.Vacuum
		case "lasts":
			t.Lasts = r.Lasts
		}
	}
	return t, nil
}

// Reading is the trial with what was read, as a technician would write it.
func (t Trial) Reading(outcome float64) scenario.Reading {
	r := scenario.Reading{Test: t.test.name}
	for _, key := range t.test.form.Conditions {
		switch key {
		case "pedal":
			r.Pedal = t.Pedal
		case "start":
			r.Start = t.Vacuum
		case "vacuum":
			r.Vacuum = t.Vacuum
		case "lasts":
			r.Lasts = t.Lasts
		}
	}
	switch t.test.form.Reads {
	case "drop":
		r.Drop = si.Vacuum(outcome)
	case "travel":
		r.Travel = si.Length(outcome)
	case "takes":
		r.Takes = si.Time(outcome)
	case "count":
		r.Count = int(math.Floor(outcome))
	case "answer":
		r.Answer = outcome >= YesFrom
	default:
		r.Value = outcome
	}
	return r
}

// Read returns what a reading of the trial says on the scale of its outcome. A count stands
// for all that lies between it and the next; whether a pedal drops is a yes or no, 1 or 0.
func (t Trial) Read(r scenario.Reading) float64 {
	switch t.test.form.Reads {
	case "drop":
		return float64(r.Drop)
	case "travel":
		return float64(r.Travel)
	case "takes":
		return min(float64(r.Takes), float64(waitMost))
	case "count":
		return min(float64(r.Count)+0.5, MostStops)
	case "answer":
		if r.Answer {
			return 1
		}
		return 0
	default:
		return r.Value
	}
}

// Blank stands where a reading is to be written.
const Blank = "____"

// Blanks are the lines of a reading entry to fill in, as a scenario has it.
func (t Trial) Blanks(u si.System) []string {
	lines := []string{"[[reading]]", fmt.Sprintf("test = %q", t.test.name)}
	dims := map[string]si.Dimension{"pedal": si.DimForce, "start": si.DimVacuum, "vacuum": si.DimVacuum, "lasts": si.DimTime}
	for _, key := range t.test.form.Conditions {
		lines = append(lines, fmt.Sprintf("%s = %q", key, scenario.QuantityText(dims[key], t.condition(key))))
	}
	wanted := t.test.form.Reads + " = "
	switch t.test.kind {
	case count:
		wanted += Blank
	case yesOrNo:
		wanted += Blank + "  # true or false"
	default:
		wanted += fmt.Sprintf("%q", Blank+" "+t.Dimension().Unit(u).Name)
	}
	return append(lines, wanted)
}

// Record puts the outcome of a test into a reading with the test's conditions,
// as a technician would write it. Of a test that there is not it returns the conditions.
func Record(conditions scenario.Reading, outcome float64) scenario.Reading {
	t, err := TrialOf(conditions)
	if err != nil {
		return conditions
	}
	return t.Reading(outcome)
}

// GaugeOf is [Trial.Gauge] of a reading; NaN for a test that there is not.
func GaugeOf(conditions scenario.Reading) (half, step float64) {
	t, err := TrialOf(conditions)
	if err != nil {
		return math.NaN(), math.NaN()
	}
	return t.Gauge()
}
