package diagnose

import (
	"fmt"

	"kneepoint/sim"
	"kneepoint/sim/workshop"
)

const (
	// ruledOut is by how much the readings have to lower the odds of a fault against those of
	// a sound car before it counts as looked at (estimate).
	ruledOut = 4.0
	// wellOn is the severity from which a fault that forbids driving does so early.
	wellOn = 0.3
)

// lookForUnseen lists the faults that forbid driving and that no reading has spoken against:
// a car that reads as sound may have one all the same. before is what was believed before
// any reading.
func (d *Diagnosis) lookForUnseen(before map[class]float64) {
	after := d.p.byClass()
	if len(d.readings) == 0 || before[soundClass] == 0 {
		return
	}
	sound := after[soundClass] / before[soundClass]
	for f := range d.l.faults {
		c := class{f, noFault}
		if before[c] == 0 || after[c]/before[c] < sound/ruledOut {
			continue
		}
		for _, name := range d.l.faults[f].names {
			if workshop.DoNotDrive(name, wellOn) {
				d.NotRuledOut = append(d.NotRuledOut, string(name))
			}
		}
	}
}

// unseenWords warn of them, naming so many, where the car reads as sound.
func (d *Diagnosis) unseenWords(most int) string {
	if d.Suspects[0].Fault != NoFault || len(d.NotRuledOut) == 0 {
		return ""
	}
	var faults []string
	for _, f := range d.NotRuledOut {
		faults = append(faults, workshop.Describe(sim.FaultName(f)))
	}
	return fmt.Sprintf("No reading speaks yet against what nobody should drive with: %s.", someOf(faults, most))
}
