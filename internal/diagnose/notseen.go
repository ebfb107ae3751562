package diagnose

import (
	"fmt"
	"strings"

	"kneepoint/internal/workshop"
	"kneepoint/sim"
)

const (
	// ruledOut is by how much the readings have to lower the odds of a fault against those of
	// a sound car before it counts as looked at (estimate).
	ruledOut = 4.0
	// wellOn is the severity from which a fault that forbids driving does so early.
	wellOn = 0.3
)

// lookForUnseen lists the faults that forbid driving and that no reading has spoken against: a
// car that reads as sound may have one all the same, and its side is not cleared. before is what was believed before
// any reading.
func (d *Diagnosis) lookForUnseen(before map[class]float64) {
	after := d.p.byClass()
	as := d.l.asSound()
	if len(d.readings) == 0 || before[as] == 0 {
		return
	}
	sound := after[as] / before[as]
	for f := range d.l.faults {
		c := class{f, noFault}
		if before[c] == 0 || after[c]/before[c] < sound/ruledOut {
			continue
		}
		for _, name := range d.l.faults[f].names {
			if workshop.DoNotDrive(name, wellOn) {
				d.NotRuledOut = append(d.NotRuledOut, string(name))
				d.notCleared(name.Side())
			}
		}
	}
}

// notCleared takes back that a side is cleared.
func (d *Diagnosis) notCleared(side sim.Side) {
	for i := range d.Sides {
		if d.Sides[i].Side == side {
			d.Sides[i].Cleared = false
		}
	}
}

// fewUnseen is how many of them a short text names.
const fewUnseen = 3

// parked is the fault of a hypothesis that forbids driving, noFault where there is none.
func (l *Library) parked(h *hypothesis) int {
	for k, f := range h.faults {
		if f != noFault && (f == h.class.a || f == h.class.b) && workshop.DoNotDrive(l.faults[f].names[0], h.severities[k]) {
			return f
		}
	}
	return noFault
}

// A danger is the chance that the car has a fault which forbids driving.
type danger struct {
	all       float64
	likeliest sim.FaultName
	// shares is how much of every class it is.
	shares map[class]float64
}

// dangerOf adds up what forbids driving.
func (l *Library) dangerOf(p *posterior) danger {
	out := danger{shares: map[class]float64{}}
	chances := make([]float64, len(l.faults))
	most := 0.0
	for i := range p.hypotheses {
		h := &p.hypotheses[i]
		f := l.parked(h)
		if f == noFault {
			continue
		}
		out.all += h.weight
		out.shares[h.class] += h.weight
		if chances[f] += h.weight; chances[f] > most {
			most, out.likeliest = chances[f], l.faults[f].names[0]
		}
	}
	for c, weight := range p.byClass() {
		if weight > 0 {
			out.shares[c] /= weight
		}
	}
	return out
}

// dangerWords say whether the car may be driven: not with what is likely wrong, nor while
// something with which nobody should drive has a chance; and, of a car that reads as sound,
// what of it was not looked for, naming so many.
func (d *Diagnosis) dangerWords(most int) string {
	if len(d.readings) == 0 {
		return ""
	}
	if d.DoNotDrive {
		return "Do not drive the car before that is put right."
	}
	var text []string
	if d.Danger >= worthMentioning {
		text = append(text, fmt.Sprintf("Do not drive it yet: %s that a fault forbids it, most likely %s.", likelihood(d.Danger), workshop.Describe(d.dangerous)))
	}
	if d.Suspects[0].class == d.l.asSound() && len(d.NotRuledOut) > 0 {
		var faults []string
		for _, f := range d.NotRuledOut {
			faults = append(faults, workshop.Describe(sim.FaultName(f)))
		}
		text = append(text, fmt.Sprintf("No reading speaks yet against what nobody should drive with: %s.", someOf(faults, most)))
	}
	return strings.Join(text, " ")
}
