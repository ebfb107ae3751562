package workshop

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// The table has one entry for every test that a scenario can hold a reading of, and
// none besides; it knows every key of such a reading.
func TestTableHasEveryTest(t *testing.T) {
	t.Parallel()
	var named []scenario.Test
	for _, entry := range tests {
		named = append(named, entry.name)
	}
	assert.ElementsMatch(t, scenario.Tests(), named)
	for _, form := range scenario.TestForms() {
		for _, key := range form.Conditions {
			if key == "axle" {
				continue // no quantity
			}
			assert.False(t, math.IsNaN(Conditions{}.condition(key)), "%s: %s", form.Test, key)
		}
	}
}

// A trial is written as a reading and read back without a loss, whatever test it is.
func TestReadingsAreTrials(t *testing.T) {
	t.Parallel()
	car := garage(t, "stock-ten-inch").Config
	for _, form := range scenario.TestForms() {
		trial := Trial{testOf(form.Test), Conditions{}}
		for _, key := range append(form.Conditions, form.Optional...) {
			switch key {
			case "pedal":
				trial.Pedal = 120
				if trial.IsYesNo() {
					trial.Pedal = scenario.PressedPedal // a sign has no other
				}
			case "wait":
				trial.Wait = 90
			case "axle":
				trial.Axle = verdict.RearAxle
			case "start", "vacuum":
				trial.Vacuum = 55e3
			case "lasts":
				trial.Lasts = 12
			}
		}
		reading := trial.Reading(3)
		back, err := TrialOf(reading)
		require.NoError(t, err)
		assert.Equal(t, trial, back)
		want := 3.0
		switch {
		case trial.Counts():
			want = 3.5 // anything from 3 to 4
		case trial.IsYesNo():
			want = 1
		}
		assert.Equal(t, want, trial.Read(reading), form.Test)
		assert.InDelta(t, 0.7, trial.FromAdditive(trial.Additive(0.7)), 1e-9, form.Test)
		assert.NotEmpty(t, trial.How(si.US), form.Test)
		assert.Contains(t, trial.Words(si.SI), string(form.Test))
		assert.Positive(t, trial.Scatter(0), form.Test)
		assert.Positive(t, trial.Unlike(0), form.Test)
		assert.Positive(t, trial.Most(1, &car), form.Test)
		assert.Positive(t, trial.Minutes(true), form.Test)
		assert.Len(t, trial.Blanks(si.SI), 2+len(form.Conditions)+len(form.Optional)+1, form.Test)
	}
}

// A test that there is not is refused, and not taken for another.
func TestUnknownTestIsRefused(t *testing.T) {
	t.Parallel()
	s := garage(t, "stock-ten-inch")
	_, err := NewRig(s.Config, s.Reserve, Gauges{}).Outcome(t.Context(), scenario.Reading{Test: "kick-the-tyre"})
	assert.ErrorContains(t, err, "kick-the-tyre")
}

// What an instrument shows too much is in the vacuum that is read, and taken off the
// vacuum at which a test is done.
func TestGaugesShowTheirError(t *testing.T) {
	t.Parallel()
	s := garage(t, "stock-ten-inch")
	outcome := func(g Gauges, r scenario.Reading) float64 {
		v, err := NewRig(s.Config, s.Reserve, g).WithBook(NewBook()).Outcome(t.Context(), r)
		require.NoError(t, err)
		return v
	}
	idle := scenario.Reading{Test: scenario.BoosterVacuum}
	assert.InDelta(t, outcome(Gauges{}, idle)+2e3, outcome(Gauges{Vacuum: 2e3}, idle), 1e-6)
	press := scenario.Reading{Test: scenario.LinePressure, Pedal: 100, Vacuum: 50e3}
	less := press
	less.Vacuum = 48e3
	assert.Equal(t, outcome(Gauges{}, less), outcome(Gauges{Vacuum: 2e3}, press))
}

// Every fault has words.
func TestEveryFaultIsDescribed(t *testing.T) {
	t.Parallel()
	for _, name := range sim.FaultNames() {
		assert.NotEmpty(t, Describe(name), name)
		assert.NotEmpty(t, Size(name, 0.5, 60e3, si.US), name)
	}
}
