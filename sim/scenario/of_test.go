package scenario

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

// A car that was made up in Go stays that car through every edit.
func TestMadeUpCarSurvivesEdits(t *testing.T) {
	c := sim.Typical()
	c.Booster = sim.BoosterOf(0.2032)
	c.Pedal.Ratio, c.Source.Vacuum, c.Car.Mass = 5.1, 33e3, 1234
	c.Faults = []sim.Fault{{Name: sim.FaultFrontShellLeak, Area: 0.05e-6}}
	plan := sim.Schedule{Presses: []sim.Press{{At: 1, Pedal: 150, Press: 0.3, Hold: 2, Release: 0.3}}, Until: 9}
	s, err := Of("made up", c, plan)
	require.NoError(t, err)
	assert.Equal(t, c, s.Config)
	assert.Equal(t, plan.Presses, s.Presses)

	edited, err := s.With("reservoir.volume", "2 L")
	require.NoError(t, err)
	want := c
	want.Reservoir.Volume = 2 * si.Litre
	assert.Equal(t, want, edited.Config)
	assert.Equal(t, "made up", edited.Title)
	assert.False(t, edited.IsBuiltin())
}

func TestMadeUpCarThatCannotBe(t *testing.T) {
	c := sim.Typical()
	c.Booster.Ratio = 0.5
	_, err := Of("made up", c, sim.Schedule{})
	var wrong *InputError
	require.ErrorAs(t, err, &wrong)
	assert.Contains(t, wrong.Error(), "booster.ratio")
}

// A number that a program sets arrives to the last bit, whatever it is set on, and is
// written so that it reads as the same.
func TestNumbersAreSetExactly(t *testing.T) {
	s, err := Builtin()
	require.NoError(t, err)
	const v = 12345.678901234567
	edited, err := s.WithSI("source.vacuum", v)
	require.NoError(t, err)
	assert.Equal(t, si.Vacuum(v), edited.Config.Source.Vacuum)
	stops, err := s.WithSI("reserve.stops", 4)
	require.NoError(t, err)
	assert.Equal(t, 4, stops.Reserve.Stops)
	_, err = s.WithSI("reserve.stops", 4.5)
	assert.ErrorContains(t, err, "reserve.stops: read 4.5, want a whole number")
	again, err := edited.With("pedal.ratio", "5")
	require.NoError(t, err)
	assert.Equal(t, si.Vacuum(v), again.Config.Source.Vacuum)
}
