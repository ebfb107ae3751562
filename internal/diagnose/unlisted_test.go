package diagnose

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/workshop"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// readOff reads tests off a car: what is simulated, and of the signs a yes to those named and a
// no to all others.
func readOff(t *testing.T, l *Library, c sim.Config, tests []scenario.Test, yes ...scenario.Test) []scenario.Reading {
	t.Helper()
	rig := workshop.NewRig(c, l.reserve, workshop.Gauges{})
	var out []scenario.Reading
	for _, trial := range l.trials[:l.menu] {
		for _, name := range tests {
			if trial.Test() != name {
				continue
			}
			v, err := rig.Try(t.Context(), trial)
			require.NoError(t, err)
			if trial.ByChance() {
				v = 0
				for _, sign := range yes {
					if sign == name {
						v = 1
					}
				}
			}
			out = append(out, trial.Reading(v))
		}
	}
	return out
}

// A circuit that lost its fluid is in no list, is known again all the same, and is not driven.
func TestLostCircuitIsKnownAgain(t *testing.T) {
	t.Parallel()
	l := library(t).Under(scenario.ComplaintLow)
	for which, lose := range map[string]func(*sim.Config){
		"front circuit": func(c *sim.Config) { c.Front.Lost = true },
		"rear circuit":  func(c *sim.Config) { c.Rear.Lost = true },
	} {
		c := l.config
		lose(&c)
		d := weighed(t, l, readOff(t, l, c, []scenario.Test{scenario.PedalTravel, scenario.ParkingBrakeLifts, scenario.FluidLevel}, scenario.FluidLevel))
		require.True(t, d.nothingExplains(), which)
		assert.Contains(t, d.unexplainedVerdict(si.SI), which)
		assert.True(t, d.DoNotDrive, which)
		assert.Greater(t, d.Danger, 0.5, which)
		assert.Contains(t, d.dangerous, which)
	}
}

// Pads that something knocks back take more fluid and are pumped near: shoes would be, too, but
// the parking brake tells.
func TestPadsKnockedBackAreNoShoes(t *testing.T) {
	t.Parallel()
	l := library(t).Under(scenario.ComplaintLow)
	c := l.config
	c.Front.TakeUp += 5e-6
	tests := []scenario.Test{scenario.PedalTravel, scenario.ParkingBrakeLifts, scenario.PumpUp, scenario.PedalFeel}
	d := weighed(t, l, readOff(t, l, c, tests, scenario.PumpUp))
	track, factor, share := d.p.likeliestUnlisted()
	require.NotNil(t, track)
	assert.Equal(t, "front pads' take-up", track.figure)
	assert.Greater(t, factor, 1.5)
	assert.Greater(t, share, 0.5*d.Unexplained)
	lifted := weighed(t, l, readOff(t, l, c, tests, scenario.PumpUp, scenario.ParkingBrakeLifts))
	assert.Greater(t, d.Unexplained, 20*lifted.Unexplained)
}

// Rear wheels that drag while the front ones do not are in no list, and show in nothing else.
func TestRearWheelsThatDrag(t *testing.T) {
	t.Parallel()
	l := library(t).Under(scenario.ComplaintDrags)
	var readings []scenario.Reading
	for _, r := range readOff(t, l, l.config, []scenario.Test{scenario.WheelDrags, scenario.PedalTravel, scenario.Fountain}, scenario.Fountain) {
		r.Answer = r.Answer || r.Test == scenario.WheelDrags && r.Axle == "rear"
		readings = append(readings, r)
	}
	d := weighed(t, l, readings)
	require.True(t, d.nothingExplains(), "%v", d.Suspects[0])
	track, _, _ := d.p.likeliestUnlisted()
	assert.Equal(t, "rear wheels", track.figure)
	assert.False(t, d.DoNotDrive)
}

// The tracks of what is in no list share half of its belief, whatever each has of levels, and
// what a driver says takes from some what it gives to others.
func TestTracksShareTheirBelief(t *testing.T) {
	l := library(t)
	sum := 0.0
	for i := range l.unlistedCells {
		sum += l.unlistedCells[i].share
	}
	assert.InDelta(t, 1, sum, 1e-12)
	for _, track := range unlistedTracks(&l.config) {
		all := 0.0
		for _, c := range scenario.Complaints() {
			all += track.complained(c)
		}
		assert.InDelta(t, len(scenario.Complaints()), all, 1e-9, track.figure)
		assert.Equal(t, 1.0, track.complained(""), track.figure)
		assert.False(t, track.sign < 0 && track.shows != nil, "%s: signs are of too much", track.figure)
	}
}
