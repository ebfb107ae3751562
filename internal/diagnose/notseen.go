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
// car that reads as sound may have one all the same, and its side is not cleared. first is what was believed before
// any reading.
func (d *Diagnosis) lookForUnseen(first *posterior) {
	as := d.l.asSound()
	wasSound := first.byClass()[as]
	if len(d.readings) == 0 || wasSound == 0 {
		return
	}
	sound := d.p.byClass()[as] / wasSound
	before, after := d.l.forbidding(first), d.l.forbidding(d.p)
	for f := range d.l.faults {
		if before[f] == 0 || after[f]/before[f] < sound/ruledOut {
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

// forbidding is what is believed of every fault, by itself, of a severity that forbids driving:
// nothing is asked about one so slight that it does not.
func (l *Library) forbidding(p *posterior) []float64 {
	out := make([]float64, len(l.faults))
	for i := range p.hypotheses {
		h := &p.hypotheses[i]
		if h.class.b != noFault {
			continue
		}
		for k, f := range h.faults {
			if f != noFault && f == h.class.a && workshop.DoNotDrive(l.faults[f].names[0], h.severities[k]) {
				out[f] += h.weight
			}
		}
	}
	return out
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

// parked says in words what of a hypothesis forbids driving; "" where nothing does.
func (l *Library) parked(h *hypothesis) string {
	if h.unlisted != nil && h.unlisted.parked && h.class == unlistedClass {
		return h.unlisted.whole
	}
	for k, f := range h.faults {
		if f != noFault && (f == h.class.a || f == h.class.b) && workshop.DoNotDrive(l.faults[f].names[0], h.severities[k]) {
			return workshop.Describe(l.faults[f].names[0])
		}
	}
	return ""
}

// A danger is the chance that the car has a fault which forbids driving.
type danger struct {
	all       float64
	likeliest string // in words
	// shares is how much of every class it is.
	shares map[class]float64
}

// dangerOf adds up what forbids driving.
func (l *Library) dangerOf(p *posterior) danger {
	out := danger{shares: map[class]float64{}}
	chances := map[string]float64{}
	most := 0.0
	for i := range p.hypotheses {
		h := &p.hypotheses[i]
		what := l.parked(h)
		if what == "" {
			continue
		}
		out.all += h.weight
		out.shares[h.class] += h.weight
		if chances[what] += h.weight; chances[what] > most {
			most, out.likeliest = chances[what], what
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
		text = append(text, fmt.Sprintf("Do not drive it yet: %s that a fault forbids it, most likely %s.", likelihood(d.Danger), d.dangerous))
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
