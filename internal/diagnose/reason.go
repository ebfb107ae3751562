package diagnose

import (
	"fmt"
	"math"
	"slices"

	"kneepoint/internal/portable"
	"kneepoint/sim/si"
)

// evidence is what one reading says about one suspect.
type evidence struct {
	reading int
	// factor is by how much the reading multiplies the odds of the suspect: those that it
	// had before any, or those that all others leave it, whichever says more.
	factor float64
	// beside says that it is the latter.
	beside bool
	// expected is what the suspect would give, sound what a sound car would.
	expected, sound float64
}

// A reading speaks for or against a suspect when it moves the odds by more than
// this factor.
const speaks = 2

// says reports whether a factor speaks either way.
func says(factor float64) bool { return factor > speaks || factor < 1/speaks }

// besideOthers says that it is the other readings that give one its weight.
const besideOthers = "beside the others it "

// suspectsReasoned is how many suspects are given their reasons.
const suspectsReasoned = 5

// reason weighs every reading by itself, over what was believed before any, and beside
// all others, over what they leave: a needle that falls only with the pedal free says little
// by either reading alone.
func (d *Diagnosis) reason() {
	if len(d.readings) == 0 {
		return
	}
	first := d.l.weighSingles(nil)
	before := first.byClass()
	d.lookForUnseen(first)
	after, without := make([]map[class]float64, len(d.readings)), make([]map[class]float64, len(d.readings))
	for i := range d.readings {
		after[i] = d.l.weighSingles(d.readings[i : i+1]).byClass()
		without[i] = d.l.weighSingles(slices.Concat(d.readings[:i], d.readings[i+1:])).byClass()
	}
	with := d.l.weighSingles(d.readings).byClass()
	for k := range d.Suspects {
		s := &d.Suspects[k]
		if s.class == otherPairs || k >= suspectsReasoned && s.Together < worthMentioning {
			continue
		}
		for i := range d.readings {
			at := d.readings[i].at
			if math.IsNaN(d.l.sound.mean[at]) {
				continue
			}
			e := evidence{reading: i, factor: 1, expected: d.p.expected(s.class, at), sound: d.l.sound.mean[at]}
			if before[s.class] > 0 {
				e.factor = odds(after[i][s.class]) / odds(before[s.class])
				beside := odds(with[s.class]) / odds(without[i][s.class])
				if math.Abs(portable.Log(beside)) > math.Abs(portable.Log(e.factor)) && says(beside) {
					e.factor, e.beside = beside, true
				}
			} else {
				e.factor = d.pairFactor(s.class, &d.readings[i])
			}
			s.evidence = append(s.evidence, e)
		}
		s.Because = d.because(s, si.SI)
	}
}

// pairFactor is the likelihood of a reading under a pair of faults at the
// severities that all readings give them, over that under the sound car.
func (d *Diagnosis) pairFactor(c class, r *taken) float64 {
	likelihood := func(p *point) float64 {
		b := newBelief()
		b.update(r, p)
		return b.log
	}
	var best *hypothesis
	for k := range d.p.hypotheses {
		if h := &d.p.hypotheses[k]; h.class == c && (best == nil || h.weight > best.weight) {
			best = h
		}
	}
	return portable.Exp(likelihood(best.point) - likelihood(&d.l.sound))
}

func odds(p float64) float64 {
	const floor = 1e-9
	p = clamp(p, floor, 1-floor)
	return p / (1 - p)
}

func (p *posterior) byClass() map[class]float64 {
	out := map[class]float64{}
	for i := range p.hypotheses {
		out[p.hypotheses[i].class] += p.hypotheses[i].weight
	}
	return out
}

// expected is the outcome of a trial under a class, over its severities.
func (p *posterior) expected(c class, trial int) float64 {
	sum, weight := 0.0, 0.0
	for i := range p.hypotheses {
		h := &p.hypotheses[i]
		if h.class == c && !math.IsNaN(h.point.mean[trial]) {
			sum += h.weight * h.point.mean[trial]
			weight += h.weight
		}
	}
	return sum / weight
}

// because puts the evidence into words, one sentence a reading.
func (d *Diagnosis) because(s *Suspect, u si.System) []string {
	out := []string{}
	for _, e := range s.evidence {
		r := &d.readings[e.reading]
		t := r.trial
		verdict := "says little either way"
		switch {
		case e.factor > 1000:
			verdict = "speaks strongly for it"
		case e.factor > speaks:
			verdict = fmt.Sprintf("speaks for it (odds × %v)", si.Significant(e.factor, 2))
		case e.factor < 1e-3:
			verdict = "speaks strongly against it"
		case e.factor < 1/speaks:
			verdict = fmt.Sprintf("speaks against it (odds ÷ %v)", si.Significant(1/e.factor, 2))
		}
		if e.beside {
			verdict = besideOthers + verdict
		}
		shown, expected, sound := r.shown(u), t.Print(e.expected, u), t.Print(e.sound, u)
		if !t.IsYesNo() {
			expected = "about " + expected
		}
		line := fmt.Sprintf("%s: read %s; this would give %s, a sound car %s: %s", spoken(t, u), shown, expected, sound, verdict)
		if s.class == soundClass || math.IsNaN(e.expected) { // of what has no weight at all
			line = fmt.Sprintf("%s: read %s; a sound car gives %s: %s", spoken(t, u), shown, sound, verdict)
		}
		out = append(out, line)
	}
	return out
}

// How badly two readings must go together, beyond how badly each goes by itself,
// to contradict each other: in squared standard deviations.
const contradicts = 9

// contradict looks for pairs of readings that no hypothesis gives together,
// though each could be had by itself.
func (d *Diagnosis) contradict() {
	n := len(d.readings)
	if n < 2 {
		return
	}
	alone := make([]float64, n)
	together := make([][]float64, n)
	for i := range alone {
		alone[i] = math.Inf(1)
		together[i] = make([]float64, n)
		for j := range together[i] {
			together[i][j] = math.Inf(1)
		}
	}
	for k := range d.p.hypotheses {
		if d.p.hypotheses[k].class == unlistedClass {
			continue
		}
		point := d.p.hypotheses[k].point
		for i := range d.readings {
			first := newBelief()
			first.update(&d.readings[i], point)
			alone[i] = min(alone[i], first.square)
			for j := i + 1; j < n; j++ {
				both := first
				both.update(&d.readings[j], point)
				together[i][j] = min(together[i][j], both.square)
			}
		}
	}
	for i := range n {
		for j := i + 1; j < n; j++ {
			if together[i][j]-alone[i]-alone[j] > contradicts {
				c := conflict{&d.readings[i], &d.readings[j]}
				d.conflicts = append(d.conflicts, c)
				d.Contradictions = append(d.Contradictions, c.words(si.SI))
			}
		}
	}
}

// A conflict is two readings that nothing in the list gives together.
type conflict struct{ first, second *taken }

func (c conflict) words(u si.System) string {
	a, b := c.first, c.second
	if a.trial == b.trial {
		return fmt.Sprintf("%s was read twice, as %s and %s: more apart than the gauge's error. Take it again.",
			spoken(a.trial, u), a.shown(u), b.shown(u))
	}
	show := func(r *taken) string { return spoken(r.trial, u) + " (read " + r.shown(u) + ")" }
	return fmt.Sprintf("%s and %s contradict each other: no fault in the list, of any severity, gives both. Take both again.", show(a), show(b))
}

// shown is what was read.
func (r *taken) shown(u si.System) string {
	t := r.trial
	switch {
	case t.IsYesNo():
		return t.Word(r.value > 0.5)
	case !r.ranged:
		return t.Print(r.value, u)
	case math.IsInf(r.high, 1):
		return t.Print(max(r.low, r.value), u) + " or more"
	case math.IsInf(r.low, -1):
		return t.Print(r.high, u) + " or less"
	case t.Counts():
		return si.Spanned(t.Print(r.low, u), t.Print(r.high-1, u))
	}
	return si.Spanned(t.Print(r.low, u), t.Print(r.high, u))
}
