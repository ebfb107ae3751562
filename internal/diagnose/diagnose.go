package diagnose

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"kneepoint/internal/batch"
	"kneepoint/internal/workshop"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// NoFault is the name of a car without a fault, or with one so small that no
// test shows it.
const NoFault = "none"

// Unexplained is the name of what is not in the list of faults.
const Unexplained = "unexplained"

// OtherPairs is the name of all pairs of faults that are too faint for a line of their own.
const OtherPairs = "other pairs"

// A Suspect is one fault, or pair of faults, with how likely it is.
type Suspect struct {
	// Fault is "none", a fault, or two joined by " + ".
	Fault string `json:"fault"`
	// Severity is the expected one of the first fault, 0 to 1 on the scale of
	// FaultAt; Severities has one for each fault.
	Severity    float64 `json:"severity"`
	Probability float64 `json:"probability"`
	// FlatProbability is what it would be if every fault were as likely as any other to
	// begin with.
	FlatProbability float64  `json:"flat_probability"`
	Because         []string `json:"because"`
	// IndistinguishableFrom are the faults that no test tells from this one at its severity. They
	// count as one, Together is their probability, and they are listed together.
	IndistinguishableFrom []string  `json:"indistinguishable_from"`
	Together              float64   `json:"probability_together"`
	Faults                []string  `json:"faults"`
	Severities            []float64 `json:"severities"`
	// Side is that of the fault, or of both where a pair is on one side.
	Side sim.Side `json:"side"`

	class    class
	evidence []evidence
}

// A Diagnosis is what readings say about a car.
type Diagnosis struct {
	Suspects    []Suspect `json:"faults"`
	Unexplained float64   `json:"unexplained"`
	// Side is that on which the fault is most likely; there is none where the car is most
	// likely sound, or what is wrong in no list. Sides are the chances of all.
	Side  sim.Side      `json:"side"`
	Sides []SideOfFault `json:"sides"`
	// Repair is the first one, by all readings; Settled says that no test which is left is
	// worth its minutes, or that the repair is sure.
	Repair  Repair `json:"repair"`
	Settled bool   `json:"settled"`
	// DoNotDrive says that the most likely fault forbids driving.
	DoNotDrive bool `json:"do_not_drive"`
	// Danger is the chance of any that does.
	Danger float64 `json:"danger"`
	Vacuum Vacuum  `json:"vacuum"`
	// Complaint is the driver's; Complaints are those to choose from where there is none.
	Complaint  scenario.Complaint       `json:"complaint"`
	Complaints []workshop.ComplaintLine `json:"complaints"`
	// Next does not exist where no test would tell more.
	Next *NextTest `json:"next_test"`
	// Others are the other tests, the best for their time first.
	Others []NextTest `json:"other_tests"`
	// Contradictions are pairs of readings that nothing in the list gives together.
	Contradictions []string `json:"contradictions"`
	// NotRuledOut are faults that forbid driving and that no reading has spoken against.
	NotRuledOut []string `json:"not_ruled_out"`
	// SoundReads is what the sound car would have read, by reading.
	SoundReads []SoundReading `json:"sound_readings"`
	// Indistinguishable are faults that no test tells apart, over the severities named, of
	// those that the readings leave likely.
	Indistinguishable []Indistinguishable `json:"indistinguishable"`
	// Notes are remarks about the input.
	Notes []string `json:"notes"`

	title string
	// dangerous is the likeliest fault that forbids driving, in words.
	dangerous string
	readings  []taken
	conflicts []conflict
	l         *Library
	p         *posterior
}

// A SoundReading is what a reading would have been on a sound car.
type SoundReading struct {
	Test  string  `json:"test"`
	Sound float64 `json:"sound"`
	Read  float64 `json:"read"`
}

// Diagnose finds what the scenario's readings say, by simulating its car with
// every fault and severity, and what to test next.
func Diagnose(ctx context.Context, s *scenario.Scenario, progress batch.Progress) (*Diagnosis, error) {
	l, err := newFocused(ctx, s, s.Readings)
	if err != nil {
		return nil, err
	}
	d, err := l.diagnose(ctx, s.Readings, progress)
	if err != nil {
		return nil, err
	}
	if len(s.Config.Faults) > 0 {
		d.Notes = append(d.Notes, "The scenario's own [[fault]] entries were left out: faults are what is looked for here.")
	}
	return d, nil
}

// Diagnose finds what readings say; their tests must be those that the library
// was made for.
func (l *Library) Diagnose(ctx context.Context, readings []scenario.Reading) (*Diagnosis, error) {
	return l.diagnose(ctx, readings, nil)
}

func (l *Library) diagnose(ctx context.Context, readings []scenario.Reading, progress batch.Progress) (*Diagnosis, error) {
	d, err := l.weighAll(ctx, readings, progress)
	if err != nil {
		return nil, err
	}
	d.reason()
	d.contradict()
	d.Indistinguishable = d.l.Indistinguishable()
	return d, nil
}

// Weigh is Diagnose without the reasons, for programs that ask often: the
// suspects and the next test.
func (l *Library) Weigh(ctx context.Context, readings []scenario.Reading) (*Diagnosis, error) {
	return l.weighAll(ctx, readings, nil)
}

func (l *Library) weighAll(ctx context.Context, readings []scenario.Reading, progress batch.Progress) (*Diagnosis, error) {
	read, err := l.take(readings)
	if err != nil {
		return nil, err
	}
	if l.focuses {
		if l, err = l.focus(ctx, read, progress); err != nil {
			return nil, err
		}
	}
	p, err := l.believe(ctx, read)
	if err != nil {
		return nil, err
	}
	for _, r := range readings {
		if t, err := workshop.TrialOf(r); err == nil && r.CantTell {
			p.told = append(p.told, t)
		}
	}
	d := &Diagnosis{Vacuum: l.vacuum, Complaint: l.complaint, Complaints: workshop.ComplaintLines(), title: l.title, readings: read, l: l, p: p, Unexplained: p.unexplained,
		Notes: []string{}, Contradictions: []string{}, NotRuledOut: []string{}, SoundReads: []SoundReading{}, Indistinguishable: []Indistinguishable{}}
	if l.config.Pump.FreeFlow > 0 {
		d.Notes = append(d.Notes, "The electric pump is taken to have switched off when a test begins: let it run until it does.")
	}
	for i := range read {
		r := &read[i]
		sound := l.sound.mean[r.at]
		if math.IsNaN(sound) {
			d.Notes = append(d.Notes, fmt.Sprintf("%s says nothing about this car and was left out.", r.trial.Words(si.SI)))
			sound = 0
		}
		d.SoundReads = append(d.SoundReads, SoundReading{string(r.trial.Test()), sound, r.value})
	}
	d.Suspects = l.suspects(p)
	d.takeSides()
	repairs, danger := l.repairs(p), l.dangerOf(p)
	d.Danger, d.dangerous = danger.all, danger.likeliest
	next, all := l.next(p, repairs, danger)
	if next != nil {
		chosen := *next
		d.Next = &chosen
	}
	for _, n := range all {
		if next == nil || n.trial != next.trial {
			d.Others = append(d.Others, n)
		}
	}
	d.settle(repairs)
	return d, nil
}

// tally is what all hypotheses of one class come to.
type tally struct {
	class      class
	weight     float64
	flat       float64    // what the weight would be without frequencies
	severities [2]float64 // expected, times the weight
	modal      *hypothesis
	// single is the weight of the hypotheses with one fault, twins what of it no
	// test tells from each other fault.
	single float64
	twins  []float64
}

// tallies adds the hypotheses up to classes, the most likely first.
func (p *posterior) tallies(faults int) []*tally {
	byClass := map[class]*tally{}
	var all []*tally
	flat := p.anything
	for i := range p.hypotheses {
		h := &p.hypotheses[i]
		flat += h.weight * h.flatter
		if h.class == unlistedClass {
			continue
		}
		s := byClass[h.class]
		if s == nil {
			s = &tally{class: h.class, modal: h, twins: make([]float64, faults)}
			byClass[h.class] = s
			all = append(all, s)
		}
		s.weight += h.weight
		s.flat += h.weight * h.flatter
		if h.weight > s.modal.weight {
			s.modal = h
		}
		if h.fromFault != nil {
			s.single += h.weight
			for f, gap := range h.fromFault {
				s.twins[f] += h.weight * likeness(gap)
			}
		}
		// A pair that shows as one of its faults only has that fault's severity.
		for k, f := range h.faults {
			switch f {
			case noFault:
			case h.class.a:
				s.severities[0] += h.weight * h.severities[k]
			case h.class.b:
				s.severities[1] += h.weight * h.severities[k]
			}
		}
	}
	for _, s := range all {
		s.flat /= flat
	}
	slices.SortStableFunc(all, func(a, b *tally) int { return cmp.Compare(b.weight, a.weight) })
	return all
}

const (
	// leastPair is the probability below which a pair is not listed by itself, and
	// leastCompared that below which a fault has no severity at which to compare it.
	leastPair     = 1e-3
	leastCompared = 1e-3
)

// suspects lists the classes, those together that no test tells apart at their
// severities, the most likely group first. Pairs too faint for a line of their
// own are one line, so that all adds up to 1.
func (l *Library) suspects(p *posterior) []Suspect {
	var groups [][]*tally
	faint, faintFlat := 0.0, 0.0
	for _, s := range p.tallies(len(l.faults)) {
		if s.class.b != noFault && s.weight < leastPair {
			faint += s.weight
			faintFlat += s.flat
			continue
		}
		into := -1
		for g := range groups {
			first := groups[g][0]
			if s.weight >= leastCompared && l.sameFault(s, first) {
				into = g
				break
			}
		}
		if into < 0 {
			groups = append(groups, []*tally{s})
		} else {
			groups[into] = append(groups[into], s)
		}
	}
	var out []Suspect
	for _, g := range groups {
		var members []Suspect
		together := 0.0
		for _, s := range g {
			members = append(members, l.named(s)...)
			together += s.weight
		}
		for i := range members {
			members[i].Together = together
			for k := range members {
				if k != i {
					members[i].IndistinguishableFrom = append(members[i].IndistinguishableFrom, members[k].Fault)
				}
			}
		}
		out = append(out, members...)
	}
	if faint > 0 {
		rest := suspect(otherPairs, OtherPairs, faint)
		rest.Together, rest.FlatProbability = faint, faintFlat
		out = append(out, rest)
	}
	slices.SortStableFunc(out, func(a, b Suspect) int { return cmp.Compare(b.Together, a.Together) })
	return out
}

// sameFault reports whether no test tells two classes apart: single faults, over
// most of what is believed of the severity of each; a pair, where it is most likely.
func (l *Library) sameFault(a, b *tally) bool {
	const step = 1.0 / severities
	switch {
	case a.class == soundClass || b.class == soundClass:
		return false
	case a.class.b == noFault && b.class.b == noFault:
		return a.twins[b.class.a] > a.single/2 && b.twins[a.class.a] > b.single/2
	case a.modal.faults[0] == noFault || b.modal.faults[0] == noFault: // sound but for its vacuum
		return l.indistinguishable(a.modal.point, b.modal.point)
	case a.modal.faults[1] == noFault:
		s := a.modal.severities[0]
		return l.becomes(b.modal.point, a.modal.faults[0], s-step, s+step)
	case b.modal.faults[1] == noFault:
		return l.sameFault(b, a)
	}
	return l.indistinguishable(a.modal.point, b.modal.point)
}

func suspect(c class, name string, p float64) Suspect {
	return Suspect{Fault: name, Probability: p, class: c, Because: []string{}, IndistinguishableFrom: []string{}, Faults: []string{}, Severities: []float64{}}
}

// named lists a class under every name it has: faults that the model has no
// difference between are as likely as each other.
func (l *Library) named(s *tally) []Suspect {
	if s.class == soundClass {
		none := suspect(s.class, NoFault, s.weight)
		none.FlatProbability = s.flat
		return []Suspect{none}
	}
	first, second := l.faults[s.class.a].names, []sim.FaultName{""}
	if s.class.b != noFault {
		second = l.faults[s.class.b].names
	}
	n := float64(len(first) * len(second))
	var out []Suspect
	for _, a := range first {
		for _, b := range second {
			m := suspect(s.class, string(a), s.weight/n)
			m.FlatProbability = s.flat / n
			m.Faults = append(m.Faults, string(a))
			if b != "" {
				m.Fault += " + " + string(b)
				m.Faults = append(m.Faults, string(b))
			}
			for k := range m.Faults {
				v := 0.0
				if s.weight > 0 {
					v = s.severities[k] / s.weight
				}
				m.Severities = append(m.Severities, v)
			}
			m.Severity = m.Severities[0]
			m.Side = sideOf(m.Faults)
			out = append(out, m)
		}
	}
	return out
}

// nameOf names a class.
func (l *Library) nameOf(c class) string {
	switch {
	case c == soundClass:
		return NoFault
	case c == unlistedClass:
		return Unexplained
	case c.b == noFault:
		return string(l.faults[c.a].names[0])
	}
	return string(l.faults[c.a].names[0]) + " + " + string(l.faults[c.b].names[0])
}
