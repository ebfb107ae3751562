package diagnose

import (
	"math"

	"kneepoint/internal/portable"
	"kneepoint/internal/workshop"
)

// A belief is what is held of the nuisances under one cell, after some readings,
// with how likely those were. It is updated one reading at a time: the outcomes
// are taken as linear in the nuisances, so that a figure leaves it normal.
type belief struct {
	mean   [unknowns]float64
	cov    [unknowns][unknowns]float64
	log    float64 // natural logarithm of the likelihood
	worst  float64 // largest miss of a reading, in standard deviations
	square float64 // sum of their squares
	capped float64 // the same, none of them beyond capAt
}

// A taken is one reading: its trial, the place of that among the library's, what was
// read on the scale of the outcome, and the variance of that about it.
type taken struct {
	trial          workshop.Trial
	at             int
	value, scatter float64
	// ranged says that no more is known than that the outcome lies from low to high.
	ranged    bool
	low, high float64
}

func newBelief() belief {
	var b belief
	for i := range b.cov {
		b.cov[i][i] = 1
	}
	return b
}

// unread is what is held before any reading.
var unread = newBelief()

// expect returns mean and variance of the outcome of a trial, without the
// scatter of the reading, and the covariance with the nuisances.
func (b *belief) expect(t workshop.Trial, p *point, i int) (mean, variance float64, with [unknowns]float64) {
	j := &p.slope[i]
	mean = p.mean[i]
	variance = t.Unlike(p.mean[i])
	// Most tests hang on few of the unknowns, and this is where a diagnosis spends
	// its time.
	for c, slope := range j {
		if slope == 0 {
			continue
		}
		mean += slope * b.mean[c]
		row := &b.cov[c]
		for r := range with {
			with[r] += slope * row[r]
		}
	}
	for r, slope := range j {
		variance += slope * with[r]
	}
	return mean, variance, with
}

// capAt bounds what one reading says against a pair that has not been simulated:
// where two faults work on each other, the estimate from their parts can be far
// off in one test and right in the others.
const capAt = 9

// update takes in one reading.
func (b *belief) update(r *taken, p *point) {
	if math.IsNaN(p.mean[r.at]) {
		return
	}
	if r.trial.ByChance() {
		all := chanceOf(r.value > 0.5, p.mean[r.at])
		b.log += portable.Log(all)
		b.missed(-normal.Quantile(clamp(all, 1e-4, 0.5)))
		return
	}
	mean, variance, with := b.expect(r.trial, p, r.at)
	total := variance + r.scatter
	switch {
	case r.trial.IsYesNo():
		b.answer(r.value > 0.5, r.trial, mean, total, &with)
		return
	case r.ranged:
		b.between(r, mean, total, &with)
		return
	}
	miss := r.value - mean
	b.log -= 0.5 * (miss*miss/total + portable.Log(2*math.Pi*total))
	b.missed(math.Abs(miss) / math.Sqrt(total))
	b.move(miss/total, 1/total, &with)
}

// chanceOf is the chance of an answer out of that of a yes.
func chanceOf(yes bool, chance float64) float64 {
	if !yes {
		chance = 1 - chance
	}
	return clamp(chance, 1e-3, 1)
}

// answer takes in a yes or no: the outcome lies beyond the threshold, or not. The
// nuisances are then no longer normal; their mean and variance are kept.
func (b *belief) answer(yes bool, t workshop.Trial, mean, variance float64, with *[unknowns]float64) {
	dev, slip := math.Sqrt(variance), t.Misread()
	a, sign := (mean-t.YesFrom())/dev, 1.0
	if !yes {
		a, sign = -a, -1
	}
	chance := normal.CDF(a)
	all := slip + (1-2*slip)*chance
	b.log += portable.Log(all)
	b.missed(-normal.Quantile(clamp(all, 1e-4, 0.5)))
	// Mills' ratio, as far as the answer is not taken for a slip.
	lambda := (1 - 2*slip) * portable.Exp(-0.5*a*a) / math.Sqrt(2*math.Pi) / all
	if shrink := lambda * (lambda + a); shrink > 0 {
		b.move(sign*lambda/dev, min(shrink, 0.99)/variance, with)
	}
}

// between takes in a range or a bound: the outcome lies within. As of an answer, mean and
// variance of the nuisances are kept.
func (b *belief) between(r *taken, mean, variance float64, with *[unknowns]float64) {
	dev := math.Sqrt(variance)
	low, high := (r.low-mean)/dev, (r.high-mean)/dev
	log, chance := logWithin(low, high)
	b.log += log
	b.missed(max(0, low, -high))
	if chance < 1e-12 {
		// So far off, all of it lies at the nearer end.
		if low > 0 {
			b.move(low/dev, 0.99/variance, with)
		} else {
			b.move(high/dev, 0.99/variance, with)
		}
		return
	}
	atLow, atHigh := bell(low), bell(high)
	shift := (atLow - atHigh) / chance
	edge := func(at, z float64) float64 {
		if math.IsInf(z, 0) {
			return 0
		}
		return at * z
	}
	shrink := shift*shift - (edge(atLow, low)-edge(atHigh, high))/chance
	b.move(shift/dev, clamp(shrink, 0, 0.99)/variance, with)
}

// bell is the standard normal density.
func bell(z float64) float64 { return portable.Exp(-0.5*z*z) / math.Sqrt(2*math.Pi) }

// logWithin is the chance of a standard normal between two ends, and its logarithm, which
// does not end where the chance is too small for a number.
func logWithin(low, high float64) (log, chance float64) {
	if low > 0 {
		low, high = -high, -low // where the tails are told apart
	}
	chance = normal.CDF(high) - normal.CDF(low)
	if chance > 1e-290 {
		return portable.Log(chance), chance
	}
	z := -high
	return -0.5*z*z - portable.Log(z*math.Sqrt(2*math.Pi)), 0
}

func clamp(v, low, high float64) float64 { return min(max(v, low), high) }

func (b *belief) missed(deviations float64) {
	b.worst = max(b.worst, deviations)
	b.square += deviations * deviations
	b.capped += min(deviations*deviations, capAt)
}

func (b *belief) move(gain, shrink float64, with *[unknowns]float64) {
	for r, w := range with {
		if w == 0 {
			continue
		}
		b.mean[r] += gain * w
		row, k := &b.cov[r], shrink*w
		for c := range with {
			row[c] -= k * with[c]
		}
	}
}

// yes is the chance that the answer to a trial is yes.
func yes(t workshop.Trial, mean, variance float64) float64 {
	if t.ByChance() {
		return clamp(mean, 1e-3, 1-1e-3)
	}
	slip := t.Misread()
	return slip + (1-2*slip)*normal.CDF((mean-t.YesFrom())/math.Sqrt(variance))
}
