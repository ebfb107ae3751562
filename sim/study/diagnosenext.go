package study

import (
	"fmt"
	"math"
	"slices"

	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
	"kneepoint/sim/study/answer"
)

// An Outcome is what the next test may show, and what that would mean.
type Outcome struct {
	Reading string `json:"reading"`
	// Low and High bound a figure; they do not exist at an open end and for a yes
	// or no. The unit is that of the test: Pa, m, s, or stops.
	Low         answer.Maybe `json:"low"`
	High        answer.Maybe `json:"high"`
	Probability float64      `json:"probability"`
	// Fault is the most likely one then, and Then its probability.
	Fault string  `json:"fault"`
	Then  float64 `json:"fault_probability"`

	trial     trial
	class     class
	low, high float64
}

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

	trial trial
}

// Conditions are those under which the test is to be done.
func (n *NextTest) Conditions() scenario.Reading { return n.trial.reading(0) }

// leastBits is the information below which no test is recommended (estimate).
const leastBits = 0.02

// outcomeBins is how finely the outcomes of a test are told apart.
const outcomeBins = 64

// believed is the share of all belief that counts for the choice of a test: the
// thousands of hypotheses that share the rest would cost most of the time.
const believed = 0.995

// next returns the test with the most expected information for its minutes; nil
// if none is worth doing. The second result is all that can be done, the best first.
func (l *Library) next(p *posterior) (*NextTest, []NextTest) {
	fitted := false
	for _, r := range p.readings {
		fitted = fitted || trialOf(r).needsLine()
	}
	least := p.faintest()
	var all []NextTest
	for i, t := range l.trials[:l.menu] {
		if math.IsNaN(l.sound.mean[i]) || p.has(t) {
			continue
		}
		n := NextTest{Test: string(t.test), trial: t, Minutes: t.minutes(fitted), Sound: answer.Maybe(t.shows(l.sound.mean[i]))}
		n.Pedal, n.Start, n.Vacuum, n.Lasts = t.conditions()
		n.Bits, n.Outcomes = l.information(p, i, least)
		all = append(all, n)
	}
	slices.SortStableFunc(all, func(a, b NextTest) int { return compareNaN(b.Bits/b.Minutes, a.Bits/a.Minutes) })
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
func (p *posterior) has(t trial) bool {
	for _, r := range p.readings {
		if trialOf(r).near(t) {
			return true
		}
	}
	return false
}

func (t trial) conditions() (pedal, start, vacuum, lasts answer.Maybe) {
	pedal, start, vacuum, lasts = answer.None(), answer.None(), answer.None(), answer.None()
	r := t.reading(0)
	switch {
	case r.Lasts > 0 && r.Start > 0:
		return answer.Maybe(r.Pedal), answer.Maybe(r.Start), vacuum, answer.Maybe(r.Lasts)
	case r.Lasts > 0:
		return answer.Maybe(r.Pedal), start, vacuum, answer.Maybe(r.Lasts)
	case t.test == scenario.LinePressure, t.test == scenario.PedalTravel:
		return answer.Maybe(r.Pedal), start, answer.Maybe(r.Vacuum), lasts
	case r.Pedal > 0:
		return answer.Maybe(r.Pedal), start, vacuum, lasts
	}
	return pedal, start, vacuum, lasts
}

// bins are the possible outcomes of a trial: n, each from edge(i) to edge(i+1).
type bins struct {
	low, width float64
	n          int
}

func (b bins) edge(i int) float64 { return b.low + b.width*float64(i) }

// forecast is how an outcome is spread for one class: the chance of every bin
// together with the class.
type forecast map[class][]float64

var oddClass = class{-3, -3}

// forecast spreads the outcome of a trial over bins under every hypothesis with
// at least some weight.
func (l *Library) forecast(p *posterior, i int, least float64) (bins, forecast) {
	t := l.trials[i]
	scatter := t.scatter(0)
	type spread struct {
		class
		mean, dev, weight float64
	}
	var all []spread
	low, high := math.Inf(1), math.Inf(-1)
	for k := range p.hypotheses {
		h := &p.hypotheses[k]
		if h.weight < least || math.IsNaN(h.point.mean[i]) {
			continue
		}
		mean, variance, _ := h.expect(t, h.point, i)
		s := spread{h.class, mean, math.Sqrt(variance + scatter), h.weight}
		low, high = min(low, mean-3*s.dev), max(high, mean+3*s.dev)
		all = append(all, s)
	}
	out := forecast{}
	add := func(c class, n int) []float64 {
		if out[c] == nil {
			out[c] = make([]float64, n)
		}
		return out[c]
	}
	if t.isYesNo() {
		for _, s := range all {
			chance := yes(s.mean, s.dev*s.dev)
			v := add(s.class, 2)
			v[0] += s.weight * (1 - chance)
			v[1] += s.weight * chance
		}
		v := add(oddClass, 2)
		chance := l.odd(i, 1, scatter)
		v[0], v[1] = v[0]+p.anything*(1-chance), v[1]+p.anything*chance
		return bins{0, 1, 2}, out
	}
	b := bins{max(0, low), 0, outcomeBins}
	b.width = (high - b.low) / outcomeBins
	if t.gaugeCounts() {
		b = bins{0, 1, mostPumps + 1}
	}
	for _, s := range all {
		v := add(s.class, b.n)
		before := 0.0
		first := int(clamp((s.mean-cdfMost*s.dev-b.low)/b.width, 0, float64(b.n-1)))
		for k := first; k < b.n && before < 1; k++ {
			upTo := 1.0
			if k < b.n-1 {
				upTo = quickCDF((b.edge(k+1) - s.mean) / s.dev)
			}
			v[k] += s.weight * (upTo - before)
			before = upTo
		}
	}
	anything, sum := make([]float64, b.n), 0.0
	for k := range anything {
		anything[k] = l.odd(i, b.edge(k)+b.width/2, scatter)
		sum += anything[k]
	}
	v := add(oddClass, b.n)
	for k := range v {
		v[k] += anything[k] * p.anything / sum
	}
	return b, out
}

// information is the mutual information of the outcome of a trial and the class,
// in bits, with the outcomes told apart by what would be most likely then.
func (l *Library) information(p *posterior, i int, least float64) (float64, []Outcome) {
	b, f := l.forecast(p, i, least)
	total := make([]float64, b.n)
	best := make([]class, b.n)
	order := f.classes()
	prior := map[class]float64{}
	all := 0.0
	for _, c := range order {
		for k, v := range f[c] {
			total[k] += v
			prior[c] += v
			all += v
			if v > 0 && (best[k] == class{} || v > f[best[k]][k]) {
				best[k] = c
			}
		}
	}
	// An outcome that leaves the same class in front means something else where
	// the class gains than where it loses.
	gains := make([]bool, b.n)
	for k := range gains {
		gains[k] = total[k] > 0 && f[best[k]][k]/total[k] >= prior[best[k]]/all
	}
	bits := 0.0
	for _, c := range order {
		for k, v := range f[c] {
			if v > 0 {
				bits += v / all * math.Log2(v*all/(prior[c]*total[k]))
			}
		}
	}
	return max(0, bits), l.grouped(l.trials[i], b, f, total, best, gains)
}

func (f forecast) classes() []class {
	var out []class
	for c := range f {
		out = append(out, c)
	}
	slices.SortFunc(out, func(x, y class) int {
		if x.a != y.a {
			return x.a - y.a
		}
		return x.b - y.b
	})
	return out
}

// rareOutcome is the chance below which an outcome is told together with its
// neighbour.
const rareOutcome = 0.03

// grouped joins neighbouring bins with the same most likely class that gains, or
// loses, in all of them.
func (l *Library) grouped(t trial, b bins, f forecast, total []float64, best []class, gains []bool) []Outcome {
	type run struct {
		from, to int
		chance   float64
	}
	var runs []run
	for k := range b.n {
		if n := len(runs); n > 0 && best[runs[n-1].from] == best[k] && gains[runs[n-1].from] == gains[k] && !t.isYesNo() {
			runs[n-1].to, runs[n-1].chance = k+1, runs[n-1].chance+total[k]
			continue
		}
		runs = append(runs, run{k, k + 1, total[k]})
	}
	for len(runs) > 1 && !t.isYesNo() {
		rare := 0
		for i, r := range runs {
			if r.chance < runs[rare].chance {
				rare = i
			}
		}
		if runs[rare].chance >= rareOutcome {
			break
		}
		into := rare - 1
		if rare == 0 || rare < len(runs)-1 && runs[rare+1].chance > runs[into].chance {
			into = rare + 1
		}
		first, last := min(rare, into), max(rare, into)
		runs[first] = run{runs[first].from, runs[last].to, runs[first].chance + runs[last].chance}
		runs = slices.Delete(runs, last, last+1)
	}
	var out []Outcome
	for _, r := range runs {
		o := Outcome{Low: answer.None(), High: answer.None(), Probability: r.chance, trial: t, low: math.Inf(-1), high: math.Inf(1)}
		for _, c := range f.classes() {
			sum := 0.0
			for _, v := range f[c][r.from:r.to] {
				sum += v
			}
			if share := sum / r.chance; share > o.Then {
				o.Then, o.class, o.Fault = share, c, l.nameOf(c)
			}
		}
		if t.isYesNo() {
			o.low = float64(r.from)
		} else {
			if r.from > 0 {
				o.low, o.Low = b.edge(r.from), answer.Maybe(b.edge(r.from))
			}
			if r.to < b.n {
				o.high, o.High = b.edge(r.to), answer.Maybe(b.edge(r.to))
			}
		}
		o.Reading = o.words(si.SI)
		out = append(out, o)
	}
	return out
}

// words says what is read.
func (o *Outcome) words(u si.System) string {
	t := o.trial
	switch {
	case t.isYesNo() && o.low > 0:
		return "yes"
	case t.isYesNo():
		return "no"
	case t.gaugeCounts():
		low, high := max(0, int(o.low)), int(o.high)-1
		switch {
		case math.IsInf(o.high, 1) && math.IsInf(o.low, -1):
			return "any number of stops"
		case math.IsInf(o.high, 1):
			return fmt.Sprintf("%d stops or more", low)
		case low == high && low == 1:
			return "1 stop"
		case low == high:
			return fmt.Sprintf("%d stops", low)
		case math.IsInf(o.low, -1) && high == 1:
			return "1 stop or none"
		case math.IsInf(o.low, -1):
			return fmt.Sprintf("%d stops or fewer", high)
		}
		return fmt.Sprintf("%d to %d stops", low, high)
	}
	show := func(v float64) string { return si.Format(t.dimension(), v, u) }
	switch {
	case math.IsInf(o.low, -1) && math.IsInf(o.high, 1):
		return "any reading"
	case math.IsInf(o.low, -1):
		return "below " + show(o.high)
	case math.IsInf(o.high, 1):
		return show(o.low) + " or more"
	}
	return show(o.low) + " to " + show(o.high)
}

func (t trial) dimension() si.Dimension {
	switch t.test {
	case scenario.LinePressure, scenario.PressureCreep:
		return si.DimPressure
	case scenario.PedalTravel:
		return si.DimLength
	case scenario.PedalSettles, scenario.Recharge:
		return si.DimTime
	}
	return si.DimVacuum
}
