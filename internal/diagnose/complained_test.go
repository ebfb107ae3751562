package diagnose

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
)

// What is said, or not said, only moves belief between severities: over all complaints that there
// can be, and over all severities, a fault is as likely as before.
func TestComplaintsOnlyMoveBelief(t *testing.T) {
	l := library(t)
	mean := func(c scenario.Complaint, fault int) float64 {
		under, sum := l.Under(c), 0.0
		for i := range severities {
			sum += under.saidOf(fault, (float64(i)+0.5)/severities) / severities
		}
		return sum
	}
	for f := range l.faults {
		all := 0.0
		for _, c := range scenario.Complaints() {
			all += mean(c, f)
		}
		assert.InDelta(t, len(scenario.Complaints()), all, 1e-9)
		assert.InDelta(t, 1, mean("", f), 1e-9)
	}
	bypass := classOf(t, l, sim.FaultMasterBypass).a
	sinks := l.Under(scenario.ComplaintSinks)
	assert.Greater(t, sinks.saidOf(bypass, 0.9), 3*sinks.saidOf(bypass, 0.1), "a slight one is not noticed")
	assert.Less(t, l.saidOf(bypass, 0.9), l.saidOf(bypass, 0.1), "and of one that is, somebody complains")
}

// Of two faults the one that is noticed is complained of.
func TestComplaintIsOfTheFaultThatIsNoticed(t *testing.T) {
	l := library(t).Under(scenario.ComplaintSinks)
	bypass, glazed := classOf(t, l, sim.FaultMasterBypass).a, classOf(t, l, sim.FaultLiningsGlazed).a
	said := func(ofBypass, ofGlazed float64) float64 {
		return l.saidOfPair(&pairCell{pairing: pairing{bypass, glazed}, severities: [2]float64{ofBypass, ofGlazed}})
	}
	assert.Greater(t, said(0.9, 0.1), said(0.9, 0.9))
	assert.Greater(t, said(0.9, 0.9), said(0.1, 0.9))
}
