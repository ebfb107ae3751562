package workshop

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"kneepoint/internal/verdict"
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
	for _, key := range test.keys() {
		switch key {
		case "pedal":
			t.Pedal = r.Pedal
			if test.form.Reads == "answer" && r.Pedal > 0 {
				t.Pedal = scenario.PressedPedal
			}
		case "start":
			t.Vacuum = r.Start
		case "vacuum":
			t.Vacuum = r.Vacuum
		case "lasts":
			t.Lasts = r.Lasts
		case "wait":
			t.Wait = r.Wait
		case "axle":
			t.Axle = r.Axle
		}
	}
	return t, nil
}

// Reading is the trial with what was read, as a technician would write it.
func (t Trial) Reading(outcome float64) scenario.Reading {
	r := scenario.Reading{Test: t.test.name}
	for _, key := range t.test.keys() {
		switch key {
		case "pedal":
			r.Pedal = t.Pedal
		case "start":
			r.Start = t.Vacuum
		case "vacuum":
			r.Vacuum = t.Vacuum
		case "lasts":
			r.Lasts = t.Lasts
		case "wait":
			r.Wait = t.Wait
		case "axle":
			r.Axle = t.Axle
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
		r.Answer = outcome >= t.YesFrom()
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

// Within returns, on the scale of the outcome, between which a reading lies that is a range
// or a bound; ok is false where it is a figure. The end of the watch is a bound: it is put
// down for all that takes longer.
func (t Trial) Within(r scenario.Reading) (low, high float64, ok bool) {
	if end, timed := t.WatchedTo(); timed && r.Between == nil && float64(r.Takes) >= end {
		return end - t.test.gauge.half, math.Inf(1), true
	}
	if r.Between == nil {
		return 0, 0, false
	}
	low, high = r.Between.Low, r.Between.High
	switch t.test.form.Reads {
	case "count":
		// A count stands for all up to the next, and the last for all that are more.
		if low, high = min(low, MostStops-0.5), high+1; high > MostStops {
			high = math.Inf(1)
		}
	case "takes":
		if low = min(low, float64(waitMost)-t.test.gauge.half); high >= float64(waitMost) {
			high = math.Inf(1)
		}
	}
	return low, high, true
}

// Blank stands where a reading is to be written.
const Blank = "____"

// Blanks are the lines of a reading entry to fill in, as a scenario has it.
func (t Trial) Blanks(u si.System) []string {
	lines := t.Entry(u)
	wanted := t.test.form.Reads + " = "
	switch {
	case t.Counts():
		wanted += Blank
	case t.test.form.Yes != "":
		wanted += fmt.Sprintf("%q  # %s or %s", Blank, t.test.form.No, t.test.form.Yes)
	case t.IsYesNo():
		wanted += Blank + "  # true or false"
	default:
		wanted += fmt.Sprintf("%q", Blank+" "+t.Dimension().Unit(u).Name)
	}
	return append(lines, wanted)
}

// Entry are the lines of a reading entry without what was read, as TOML has it.
func (t Trial) Entry(u si.System) []string {
	return append([]string{"[[reading]]", fmt.Sprintf("test = %q", t.test.name)}, t.conditionLines(u)...)
}

// conditionLines are the conditions as a scenario has them, in the units of a system in
// which they are round.
func (t Trial) conditionLines(u si.System) []string {
	var lines []string
	dims := map[string]si.Dimension{"pedal": si.DimForce, "start": si.DimVacuum, "vacuum": si.DimVacuum, "lasts": si.DimTime, "wait": si.DimTime}
	for _, key := range t.test.keys() {
		optional := slices.Contains(t.test.form.Optional, key)
		switch {
		case key == "axle":
			if t.Axle != verdict.NoAxle {
				lines = append(lines, fmt.Sprintf("axle = %q", t.Axle))
			}
		case optional && t.condition(key) == 0:
		case key == "pedal" && t.test.form.Reads == "answer":
			lines = append(lines, fmt.Sprintf("pedal = %q", t.foot()))
		default:
			lines = append(lines, fmt.Sprintf("%s = %q", key, conditionText(dims[key], t.condition(key), u)))
		}
	}
	return lines
}

// foot says whether a sign is looked for with the pedal pressed or released.
func (t Trial) foot() string {
	if t.Pedal > 0 {
		return "pressed"
	}
	return "released"
}

// conditionText writes a condition to three digits in the units of a system: closer than
// a foot or a gauge, and what is read by it is the same test, see [Trial.Same].
func conditionText(dim si.Dimension, v float64, u si.System) string {
	unit := dim.Unit(u)
	shown := si.Significant(unit.Of(v), 3)
	return asciiUnits.Replace(fmt.Sprintf("%v %s", shown, unit.Name))
}

var asciiUnits = strings.NewReplacer("²", "2", "³", "3", "°", "")
