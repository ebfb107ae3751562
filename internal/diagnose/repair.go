package diagnose

import (
	"cmp"
	"maps"
	"slices"

	"kneepoint/internal/workshop"
	"kneepoint/sim"
)

// A Repair is what would be done first: one job, whichever of the faults that it mends it is,
// and whether there is another fault beside it or not.
type Repair struct {
	Job workshop.Job `json:"job"`
	// Probability is that of the car having one of the faults that it mends.
	Probability float64  `json:"probability"`
	Faults      []string `json:"faults"`
}

const (
	// leaveAlone is the job for a car without a fault, lookFurther that for one with what is
	// in no list.
	leaveAlone  workshop.Job = "none"
	lookFurther workshop.Job = "unexplained"
)

// wrongRepair is what a repair costs that was not needed, in minutes of work: the part, which costs
// about as much as two hours, out and in again, bled, and the car back once more (estimate).
const wrongRepair = 240.0

// enough is the probability of a repair from which no further test is asked for.
const enough = 0.95

// jobsOf are the jobs of a class: one for each of its faults.
func (l *Library) jobsOf(c class) []workshop.Job {
	switch {
	case c == soundClass:
		return []workshop.Job{leaveAlone}
	case c == unlistedClass:
		return []workshop.Job{lookFurther}
	}
	jobs := []workshop.Job{workshop.JobOf(l.faults[c.a].names[0])}
	if c.b != noFault {
		if other := workshop.JobOf(l.faults[c.b].names[0]); other != jobs[0] {
			jobs = append(jobs, other)
		}
	}
	return jobs
}

// repairs are the chances of all jobs.
func (l *Library) repairs(p *posterior) map[workshop.Job]float64 {
	out := map[workshop.Job]float64{lookFurther: p.anything}
	for i := range p.hypotheses {
		h := &p.hypotheses[i]
		for _, job := range l.jobsOf(h.class) {
			out[job] += h.weight
		}
	}
	return out
}

// beginsWith is the job of a class that is begun with: of two, the likelier.
func (l *Library) beginsWith(c class, repairs map[workshop.Job]float64) workshop.Job {
	jobs := l.jobsOf(c)
	return slices.MaxFunc(jobs, func(a, b workshop.Job) int { return cmp.Compare(repairs[a], repairs[b]) })
}

// gain is by how much a test is expected to raise the chance that the repair which is begun
// with is the right one, if every repair were begun with as often as it is likely: nothing
// is gained by telling faults apart that one job mends, or a second fault beside the first.
func (l *Library) gain(f *forecast, repairs map[workshop.Job]float64) float64 {
	rows := map[workshop.Job][]float64{}
	for c, v := range f.joint {
		job := l.beginsWith(f.classes[c], repairs)
		if rows[job] == nil {
			rows[job] = make([]float64, f.n)
		}
		for k, x := range v {
			rows[job][k] += x
		}
	}
	gain := 0.0
	for _, job := range slices.Sorted(maps.Keys(rows)) {
		gain += f.sharper(rows[job])
	}
	return max(0, gain)
}

// clears is the same of whether the car may be driven.
func (f *forecast) clears(parked map[class]float64) float64 {
	yes, no := make([]float64, f.n), make([]float64, f.n)
	for c, v := range f.joint {
		share := parked[f.classes[c]]
		for k, x := range v {
			yes[k] += share * x
			no[k] += (1 - share) * x
		}
	}
	return max(0, f.sharper(yes)+f.sharper(no))
}

// sharper is by how much the square of a chance, given here with every outcome, is expected
// to grow.
func (f *forecast) sharper(row []float64) float64 {
	after, before := 0.0, 0.0
	for k, x := range row {
		before += x
		if f.total[k] > 0 {
			after += x * x / f.total[k]
		}
	}
	return after - before*before
}

// asSound is what a car counts as of which nothing is wrong, or nothing but a vacuum that is
// known to be short.
func (l *Library) asSound() class {
	if low := l.lowSource(); low != noFault {
		return class{low, noFault}
	}
	return soundClass
}

// readsAsSound says that this is so more likely than not.
func (l *Library) readsAsSound(repairs map[workshop.Job]float64) bool {
	return repairs[l.jobsOf(l.asSound())[0]] >= 0.5
}

// setFree is what it costs to give a car back as sound that nobody should drive, in the
// minutes of wrongRepair: ten times that (estimate).
const setFree = 10 * wrongRepair

// value is what a test is worth, in minutes of wrongRepair. A car that reads as sound is asked
// whether it may be driven.
func (n *NextTest) value() float64 { return max(n.Gain*wrongRepair, n.clears*setFree) }

// pays says whether a test is worth its minutes.
func (n *NextTest) pays() bool { return n.value() >= n.Effort+betweenTests }

// settle finds the first repair, and whether to stop testing.
func (d *Diagnosis) settle(repairs map[workshop.Job]float64) {
	// The name decides between jobs as likely as each other to the last digit.
	for _, job := range slices.Sorted(maps.Keys(repairs)) {
		if repairs[job] > d.Repair.Probability {
			d.Repair = Repair{Job: job, Probability: repairs[job]}
		}
	}
	d.Repair.Faults = []string{}
	for _, t := range d.l.faults {
		for _, name := range t.names {
			if workshop.JobOf(name) == d.Repair.Job {
				d.Repair.Faults = append(d.Repair.Faults, string(name))
			}
		}
	}
	d.Settled = len(d.readings) > 0 && (d.Next == nil || d.Repair.Probability >= enough || !d.Next.pays())
}

// mends says whether the first repair mends a fault.
func (r *Repair) mends(fault string) bool { return workshop.JobOf(sim.FaultName(fault)) == r.Job }
