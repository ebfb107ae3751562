package diagnose

import (
	"cmp"
	"math"
	"slices"

	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/workshop"
)

// A NextTest is the test that is worth most for its time.
type NextTest struct {
	Test    string       `json:"test"`
	Pedal   answer.Maybe `json:"pedal_n"`
	Start   answer.Maybe `json:"start_vacuum_pa"`
	Vacuum  answer.Maybe `json:"vacuum_pa"`
	Lasts   answer.Maybe `json:"lasts_s"`
	Bits    float64      `json:"expected_bits"`
	Minutes float64      `json:"minutes"`
	// Sound is what a sound car reads, in the unit of the outcomes; 1 and 0 for yes
	// and no.
	Sound answer.Maybe `json:"sound"`
	// Outcomes are those likely enough to matter.
	Outcomes []Outcome `json:"outcomes"`

	trial workshop.Trial
}

// Conditions are those under which the test is to be done.
func (n *NextTest) Conditions() scenario.Reading { return n.trial.Reading(0) }

// leastBits is the information below which no test is recommended (estimate).
const leastBits = 0.02

// believed is the share of all belief that counts for the choice of a test: the
// thousands of hypotheses that share the rest would cost most of the time.
const believed = 0.9999

// next returns the test with the most expected information for its minutes; nil
// if none is worth doing. The second result is all that can be done, the best first.
func (l *Library) next(p *posterior) (*NextTest, []NextTest) {
	fitted := false
	for i := range p.readings {
		fitted = fitted || p.readings[i].trial.NeedsLine()
	}
	least := p.faintest()
	var all []NextTest
	for i, t := range l.trials[:l.menu] {
		if math.IsNaN(l.sound.mean[i]) || p.has(t) {
			continue
		}
		n := NextTest{
			Test: string(t.Test()), trial: t, Minutes: t.Minutes(fitted), Sound: answer.Maybe(t.Shows(l.sound.mean[i])),
			Pedal: t.Condition("pedal"), Start: t.Condition("start"), Vacuum: t.Condition("vacuum"), Lasts: t.Condition("lasts"),
		}
		f := l.forecast(p, i, least)
		n.Bits, n.Outcomes = f.bits(), l.outcomesOf(f)
		all = append(all, n)
	}
	slices.SortStableFunc(all, func(a, b NextTest) int { return cmp.Compare(b.Bits/b.Minutes, a.Bits/a.Minutes) })
	for i := range all {
		if all[i].Bits >= leastBits {
			return &all[i], all
		}
	}
	return nil, all
}

// faintest is the weight of the least likely hypothesis that counts.
func (p *posterior) faintest() float64 {
	weights := make([]float64, len(p.hypotheses))
	for i := range p.hypotheses {
		weights[i] = p.hypotheses[i].weight
	}
	slices.Sort(weights)
	left := (1 - believed) * (1 - p.anything)
	for _, w := range weights {
		if left -= w; left < 0 {
			return w
		}
	}
	return 0
}

// has reports whether a trial was done, under much the same conditions.
func (p *posterior) has(t workshop.Trial) bool {
	for i := range p.readings {
		if p.readings[i].trial.Near(t) {
			return true
		}
	}
	return false
}
