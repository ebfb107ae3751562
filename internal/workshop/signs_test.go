package workshop

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
)

// The tables of what is believed name faults that there are; every fault has a remedy, and
// every sign by chance a row with its source.
func TestTablesOfSignsNameWhatThereIs(t *testing.T) {
	t.Parallel()
	known := sim.FaultNames()
	for name, row := range signs {
		assert.NotEmpty(t, row.source, name)
		assert.True(t, row.sound > 0 && row.sound < 1, name)
		for fault, w := range row.front {
			assert.Contains(t, known, fault, name)
			assert.True(t, w.chance > 0 && w.chance < 1 && w.silentTo < w.fullFrom, "%s, %s", name, fault)
			assert.Equal(t, row.sound, w.at(row.sound, 0), "%s, %s: none of the fault, no sign of it", name, fault)
		}
	}
	for _, test := range tests {
		_, listed := signs[test.name]
		assert.Equal(t, test.kind == byChance, listed, test.name)
	}
	for fault := range complaints {
		assert.Contains(t, known, fault)
	}
	for _, fault := range known {
		replace, check := Remedy(fault)
		assert.NotEmpty(t, replace, fault)
		assert.NotEmpty(t, check, fault)
		// What is believed of a complaint is spread over all of them.
		sum := 0.0
		for _, c := range scenario.Complaints() {
			odds := ComplaintOdds(fault, c)
			assert.Positive(t, odds, "%s, %s", fault, c)
			sum += odds
		}
		assert.InDelta(t, len(scenario.Complaints()), sum, 1e-9, fault)
	}
	for _, line := range ComplaintLines() {
		assert.True(t, slices.Contains(scenario.Complaints(), line.Complaint))
	}
	assert.True(t, DoNotDrive(sim.FaultMasterBypass, 0.5))
	assert.True(t, DoNotDrive(sim.FaultCaliperSeized, 0.5))
	assert.False(t, DoNotDrive(sim.FaultLowSourceVacuum, 1))
}
