package study

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A choice that lists no parts of its own weighs what there is to buy against what is
// there: a larger tank than the usual stays, and no smaller one is hung up for it.
func TestPartsThatAreThereAreAmongTheOptions(t *testing.T) {
	for _, flags := range [][]string{
		{`reservoir.volume=5 L`},
		{`master.bore=22.5 mm`},
		{`master.bore=23.8 mm`},
		{`booster.diameter=9.5 in`},
		{`booster.diameter=230 mm`, `booster.area=300 cm2`},
		{`booster.kind=none`, `pedal.ratio=5.7`},
	} {
		s, err := scenario.Builtin(append([]string{`choose.pumps=[false]`}, flags...)...)
		require.NoError(t, err)
		present := presentParts(s)
		options := candidates(s)
		there := slices.IndexFunc(options, func(c candidate) bool {
			return c.isPresent(present)
		})
		require.GreaterOrEqual(t, there, 0, "%v", flags)
		car, err := options[there].in(s)
		require.NoError(t, err)
		assert.Equal(t, s.Config, car.Config, "%v", flags)
		for _, c := range options {
			assert.False(t, c.reservoir > 0 && c.reservoir < present.reservoir, "%v: %s", flags, c.text(si.US))
		}
	}
}

// What a choice lists is all that it chooses from.
func TestListedPartsAreAllThereIs(t *testing.T) {
	s, err := scenario.Builtin(`reservoir.volume=5 L`, `master.bore=22.5 mm`, `booster.diameter=9.5 in`,
		`choose.reservoirs=["2 L"]`, `choose.bores=["1 in"]`, `choose.boosters=["8 in"]`, `choose.pumps=[false]`)
	require.NoError(t, err)
	options := candidates(s)
	require.Len(t, options, 1)
	assert.Equal(t, []PartKind{FitBooster, FitBore, FitTank}, options[0].fitted(presentParts(s)))
}

// A bore that was measured in millimetres is the one that a catalogue has in inches.
func TestBoreIsNotBoughtAgain(t *testing.T) {
	s, err := scenario.Builtin(`master.bore=23.8 mm`, `choose.bores=["15/16 in"]`, `choose.boosters=["229 mm"]`, `booster.diameter=9 in`,
		`choose.pumps=[false]`, `choose.reservoirs=["0 L"]`)
	require.NoError(t, err)
	options := candidates(s)
	require.Len(t, options, 1)
	assert.Empty(t, options[0].fitted(presentParts(s)))
	assert.Zero(t, options[0].effort)
}

// The pedal of every day is that of an idling engine, from whatever the stops with the
// engine dead begin.
func TestIdlingIsNotACruise(t *testing.T) {
	pedals := func(filled string) (running, dead float64) {
		s := bigCam(t, `source.vacuum=8 inHg`, `choose.boosters=["9 in"]`, `choose.pumps=[false]`, `choose.reservoirs=["0 L"]`, `reserve.filled_at=`+filled)
		r := chosen(t, s)
		require.Len(t, r.Options, 1)
		return float64(r.Options[0].RunningPedal.Value()), float64(r.Options[0].NeededPedal.Value())
	}
	idle, deadIdle := pedals("idle")
	cruise, deadCruise := pedals("cruise")
	assert.Equal(t, idle, cruise)
	assert.Less(t, deadCruise, deadIdle, "the overrun fills the booster better")
}

// A pump that passes keeps up, as reserve has it with the same stops.
func TestChosenPumpsKeepUp(t *testing.T) {
	passed, failed := 0, 0
	for _, flow := range []string{"4 L/min", "9 L/min", "15 L/min"} {
		s, err := scenario.Builtin(`source.vacuum=8 inHg`, `booster.diameter=11 in`, `pump.free_flow=`+flow, `reserve.deceleration=0.6 g`,
			`choose.boosters=["8 in", "11 in"]`, `choose.pumps=[true]`, `choose.bores=["1 in"]`)
		require.NoError(t, err)
		for _, o := range chosen(t, s).Options {
			car, err := o.parts.in(s)
			require.NoError(t, err)
			r, err := Reserve(t.Context(), car, nil)
			require.NoError(t, err)
			kept := slices.ContainsFunc(o.findings, func(f finding) bool { return f.criterion == "pump" && f.holds })
			assert.Equal(t, r.Pump.KeepsUp, kept, "%s: %s", flow, o.parts.text(si.US))
			assert.False(t, o.Passes && !r.Pump.KeepsUp, "%s: %s", flow, o.parts.text(si.US))
			if o.Passes {
				passed++
			} else if !kept {
				failed++
			}
		}
	}
	assert.Positive(t, passed)
	assert.Positive(t, failed)
}
