package main

import (
	"math"
	"slices"
	"strings"

	"kneepoint/internal/diagnose"
)

// A share is a number of hits out of so many, with its 95 % interval by Wilson's
// score method.
type share struct{ hits, of int }

func (s share) value() float64 {
	if s.of == 0 {
		return math.NaN()
	}
	return float64(s.hits) / float64(s.of)
}

// interval is Wilson's, E. B. Wilson 1927, from memory.
func (s share) interval() (low, high float64) {
	const z = 1.959963984540054
	n, p := float64(s.of), s.value()
	middle := p + z*z/(2*n)
	half := z * math.Sqrt(p*(1-p)/n+z*z/(4*n*n))
	k := 1 + z*z/n
	return max(0, middle-half) / k, (middle + half) / k
}

// within is the share of trials whose right answer is among the first few.
func within(trials []*trial, first int) share {
	s := share{of: len(trials)}
	for _, t := range trials {
		if t.rank > 0 && t.rank <= first {
			s.hits++
		}
	}
	return s
}

// A bin of a reliability diagram: answers with about the same probability.
type bin struct {
	low, high float64
	share
	sum float64 // of the probabilities
}

// tenths are the bins of a reliability diagram, empty.
func tenths() []bin {
	const n = 10
	bins := make([]bin, n)
	for i := range bins {
		bins[i].low, bins[i].high = float64(i)/n, float64(i+1)/n
	}
	return bins
}

// put adds an answer that was stated with a probability to its bin.
func put(bins []bin, p float64, right bool) {
	b := &bins[min(len(bins)-1, int(p*float64(len(bins))))]
	b.of++
	b.sum += p
	if right {
		b.hits++
	}
}

// reliability sorts the first answer of every trial by its probability.
func reliability(trials []*trial) []bin {
	bins := tenths()
	for _, t := range trials {
		put(bins, t.said[0].p, t.said[0].right)
	}
	return bins
}

// repairsRight sorts the first repairs.
func repairsRight(trials []*trial) []bin {
	bins := tenths()
	for _, t := range trials {
		put(bins, t.begins, t.begun)
	}
	return bins
}

// calibrationError is the mean distance between stated probability and share of
// right answers over the bins, each weighted by its answers.
func calibrationError(bins []bin) float64 {
	all, sum := 0.0, 0.0
	for _, b := range bins {
		all += float64(b.of)
		sum += math.Abs(float64(b.hits) - b.sum)
	}
	return sum / all
}

// answersRight is the reliability of every answer with more than a trace of
// probability, not of the first alone.
func answersRight(trials []*trial) []bin {
	const trace = 0.02
	bins := tenths()
	for _, t := range trials {
		for _, s := range t.said {
			if s.p >= trace {
				put(bins, s.p, s.right)
			}
		}
	}
	return bins
}

// Sorts of answers, by how many faults they name.
const (
	sortNone    = "none"
	sortOne     = "one fault"
	sortTwo     = "two faults"
	sortOutside = "in no list"
)

var sorts = []string{sortNone, sortOne, sortTwo, sortOutside}

func sortOf(name string) string {
	switch {
	case name == diagnose.NoFault:
		return sortNone
	case name == diagnose.Unexplained:
		return sortOutside
	case strings.Contains(name, " + ") || name == diagnose.OtherPairs:
		return sortTwo
	}
	return sortOne
}

// sort is that of the right answer of a trial: of a fault that shows in no test, none, and of a
// pair of which one shows, one.
func (t *trial) sort() string {
	if t.car.kind == outside {
		return sortOutside
	}
	for _, sort := range sorts[:2] {
		if slices.ContainsFunc(t.counts, func(name string) bool { return sortOf(name) == sort }) {
			return sort
		}
	}
	return sortTwo
}

// stated is what all trials together say of each sort: the sum of its chances.
func stated(trials []*trial) map[string]float64 {
	sums := map[string]float64{}
	for _, t := range trials {
		for _, s := range t.said {
			sums[sortOf(s.name)] += s.p
		}
	}
	return sums
}
