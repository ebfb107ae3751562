package diagnose

import (
	"math"

	"kneepoint/internal/portable"
)

// even is how an outcome is spread of which nothing is known: evenly up to most, or, of a
// time, evenly over the logarithm, since what narrows a way makes a time so many times as
// long, from about a half width of the watch on and beyond the end of the watch.
type even struct {
	most float64
	half float64 // 0 where it is no time
	end  float64 // of the watch: what takes longer is written as that
}

// longest is by how many times longer than the watch runs something may take (estimate).
const longest = 10.0

func (l *Library) nothingKnown(i int) even {
	t := l.trials[i]
	if end, timed := t.WatchedTo(); timed {
		half, _ := t.Gauge()
		return even{longest * end, half, end}
	}
	return even{most: t.Most(l.sound.mean[i], &l.config)}
}

// upTo is the share of it up to an outcome.
func (e even) upTo(v float64) float64 {
	switch {
	case e.half == 0:
		return clamp(v/e.most, 0, 1)
	case v >= e.end:
		return 1
	}
	return portable.Log(1+max(0, v)/e.half) / portable.Log(1+e.most/e.half)
}

// density is that of it, before the end of the watch.
func (e even) density(v float64) float64 {
	if e.half == 0 {
		return 1 / e.most
	}
	return 1 / ((e.half + max(0, v)) * portable.Log(1+e.most/e.half))
}

// unexplainedLog is the logarithm of the likelihood of the readings under something that is not
// in the list, with what the driver says of it.
func (l *Library) unexplainedLog(p *posterior) float64 {
	sum, sound := 0.0, 0.0
	for i := range p.readings {
		r := &p.readings[i]
		if math.IsNaN(l.sound.mean[r.at]) {
			continue
		}
		like, anything := l.anythingDensity(r.at, r.value, r.scatter)
		if r.ranged {
			like, anything = l.anythingWithin(r)
		}
		const least = 1e-300 // so that it has a logarithm
		sound += portable.Log(max(like, least))
		sum += portable.Log(untouched*like + (1-untouched)*anything)
	}
	return l.saidOfAnything(sum, sound)
}

// anythingDensity is the density of one reading, the chance of a yes or no, under something
// that is not in the list: where it leaves the test untouched, as on a sound car, and where not.
func (l *Library) anythingDensity(i int, value, scatter float64) (sound, anything float64) {
	t := l.trials[i]
	b := newBelief()
	mean, variance, _ := b.expect(t, &l.sound, i)
	variance += scatter
	if t.IsYesNo() {
		chance := yes(t, mean, variance)
		if value < 0.5 {
			chance = 1 - chance
		}
		return chance, 0.5
	}
	miss := value - mean
	return portable.Exp(-0.5*miss*miss/variance) / math.Sqrt(2*math.Pi*variance), l.nothingKnown(i).density(value)
}

// anythingWithin is the same of a range or a bound.
func (l *Library) anythingWithin(r *taken) (sound, anything float64) {
	b := newBelief()
	mean, variance, _ := b.expect(r.trial, &l.sound, r.at)
	dev := math.Sqrt(variance + r.scatter)
	_, sound = logWithin((r.low-mean)/dev, (r.high-mean)/dev)
	all := l.nothingKnown(r.at)
	const least = 1e-3 // of a range beyond all that is thought to be possible
	return sound, max(all.upTo(r.high)-all.upTo(r.low), least)
}
