package diagnose

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/workshop"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// classOf is the class of one fault of a library.
func classOf(t *testing.T, l *Library, name sim.FaultName) class {
	t.Helper()
	f := slices.IndexFunc(l.faults, func(tr track) bool { return slices.Contains(tr.names, name) })
	require.GreaterOrEqual(t, f, 0)
	return class{f, noFault}
}

// A test that only tells faults apart that one job mends has bits and no gain; one that tells
// jobs apart has both.
func TestNothingIsGainedWithinOneJob(t *testing.T) {
	t.Parallel()
	l := library(t)
	told := func(a, b sim.FaultName) *forecast {
		f := &forecast{bins: bins{0, 1, 2}, classes: []class{classOf(t, l, a), classOf(t, l, b)}, joint: [][]float64{{0.5, 0}, {0, 0.5}}}
		f.addUp()
		return f
	}
	same, other := told(sim.FaultDiaphragmTorn, sim.FaultAirSeatLeak), told(sim.FaultDiaphragmTorn, sim.FaultMasterBypass)
	none := map[workshop.Job]float64{}
	assert.InDelta(t, 1, same.bits(), 1e-9)
	assert.InDelta(t, 0, l.gain(same, none), 1e-9)
	assert.InDelta(t, 0.5, l.gain(other, none), 1e-9, "from one in two to certain")
}

// A second fault beside the first changes nothing of what is begun with.
func TestPairBeginsWithItsLikelierFault(t *testing.T) {
	t.Parallel()
	l := library(t)
	a, b := classOf(t, l, sim.FaultDiaphragmTorn), classOf(t, l, sim.FaultLiningsGlazed)
	both := class{a.a, b.a}
	chances := map[workshop.Job]float64{workshop.JobOf(sim.FaultDiaphragmTorn): 0.9, workshop.JobOf(sim.FaultLiningsGlazed): 0.2}
	assert.Equal(t, workshop.JobOf(sim.FaultDiaphragmTorn), l.beginsWith(both, chances))
	f := &forecast{bins: bins{0, 1, 2}, classes: []class{a, both}, joint: [][]float64{{0.7, 0}, {0, 0.3}}}
	f.addUp()
	assert.InDelta(t, 0, l.gain(f, chances), 1e-9)
}

// The interview ends where no test pays, before the one answer is all but certain, and goes
// on while one does.
func TestInterviewEndsWhereNoTestPays(t *testing.T) {
	t.Parallel()
	l := library(t)
	faulty := []sim.Fault{workshop.FaultAt(sim.FaultMasterBypass, 0.7)}
	all := exact(t, l, faulty, allTests(l)...)
	var readings []scenario.Reading
	for range all {
		d := weighed(t, l, readings)
		pays := d.Next != nil && d.Next.pays() && d.Repair.Probability < enough
		assert.Equal(t, len(readings) > 0 && !pays, d.Settled, "after %d", len(readings))
		if d.Settled {
			assert.Equal(t, workshop.JobOf(sim.FaultMasterBypass), d.Repair.Job)
			assert.LessOrEqual(t, len(readings), 6, "a pedal that sinks is no riddle")
			return
		}
		at := slices.IndexFunc(all, func(r scenario.Reading) bool { return d.Next.trial.Same(trialOf(t, r)) })
		require.GreaterOrEqual(t, at, 0)
		readings = append(readings, all[at])
	}
	t.Fatal("never settled")
}

// A car that reads as sound is asked on about what nobody should drive with, and the danger
// stands in the first three lines for as long as it has a chance.
func TestDangerStandsInTheFirstLines(t *testing.T) {
	t.Parallel()
	l := library(t)
	d, err := l.Diagnose(t.Context(), exact(t, l, nil, 2, 3)) // both leak-downs, as a sound car
	require.NoError(t, err)
	require.Equal(t, NoFault, d.Suspects[0].Fault)
	require.Greater(t, d.Danger, worthMentioning)
	lines := d.Words(si.US)[:3]
	assert.Contains(t, lines[2], "Do not drive it yet")
	assert.Contains(t, lines[2], d.dangerous)
	assert.Contains(t, d.Screen(si.US).Verdict[0], "Do not drive it yet")
	assert.False(t, d.Settled, "it is not given back on two leak-downs")

	d, err = l.Diagnose(t.Context(), exact(t, l, nil, allTests(l)...))
	require.NoError(t, err)
	assert.Less(t, d.Danger, worthMentioning)
	assert.NotContains(t, d.Words(si.US)[2], "Do not drive")
}

// What was not looked for is said of a car with nothing wrong but a vacuum that is short.
func TestDangerIsSaidOfACarShortOfVacuum(t *testing.T) {
	if testing.Short() {
		t.Skip("it simulates many cars")
	}
	t.Parallel()
	l := shortCar(t)
	d, err := l.Diagnose(t.Context(), exact(t, l, nil, 0, 1, 2))
	require.NoError(t, err)
	require.Equal(t, string(sim.FaultLowSourceVacuum), d.Suspects[0].Fault)
	assert.Contains(t, d.NotRuledOut, string(sim.FaultMasterBypass))
	assert.Contains(t, d.Words(si.US)[2], workshop.Describe(sim.FaultMasterBypass))
	for _, side := range d.Sides {
		for _, name := range d.NotRuledOut {
			assert.False(t, side.Cleared && side.Side == sim.FaultName(name).Side(), "%s is not cleared of %s", side.Side, name)
		}
	}
}

// With a vacuum that is short, that alone is wrong in six of ten cars whose pedal is hard, as
// is judged.
func TestShortVacuumBeforeAnyReading(t *testing.T) {
	if testing.Short() {
		t.Skip("it simulates many cars")
	}
	t.Parallel()
	l := shortCar(t).Under(scenario.ComplaintHard)
	d := weighed(t, l, nil)
	assert.Equal(t, string(sim.FaultLowSourceVacuum), d.Suspects[0].Fault)
	assert.InDelta(t, 0.6, d.Suspects[0].Together, 0.05)
	assert.True(t, l.readsAsSound(l.repairs(d.p)), "so that it is asked whether it may be driven")
	assert.False(t, l.readsAsSound(map[workshop.Job]float64{workshop.JobOf(sim.FaultMasterBypass): 0.6, workshop.JobOf(sim.FaultLowSourceVacuum): 0.4}))
}
