package gaugelog

import "math"

// A Spike is a reading that was left out with its row, since the gauge left its course and
// was back before anything in a car could have been.
type Spike struct {
	Line   int
	Time   float64
	Column int
	Value  float64
}

// A gauge that is off and back within shortest has dropped out: nobody presses and lets go of
// a pedal in that time, and a vacuum does not come back (estimate). It is off by more than so
// many times its scatter, and by more than the least that would matter, and back where it is
// within a share of that.
const (
	shortest    = 0.25 // s
	spikes      = 8.0
	back        = 0.25
	mostSpikes  = 1000
	mostWaiting = 4000
)

func (k Kind) leastSpike() float64 {
	switch {
	case k == Pedal:
		return 20
	case k == Line, k == RearLine:
		return 200e3
	}
	return 2e3
}

// sieve keeps dropouts from the thinner.
type sieve struct {
	thin    *thinner
	good    sieved
	waiting []sieved
	column  int // that is off
	off     float64
	found   []Spike
	more    int
}

type sieved struct {
	line   int
	time   float64
	values []float64
}

func (s *sieve) add(r sieved) {
	switch {
	case len(s.waiting) == 0 && !s.leaves(r):
		s.pass(r)
	case len(s.waiting) == 0:
		s.waiting = append(s.waiting, r)
	case r.time-s.good.time > shortest || len(s.waiting) >= mostWaiting:
		s.flush()
		s.pass(r)
	case math.Abs(r.values[s.column]-s.good.values[s.column]) < back*s.off:
		for _, w := range s.waiting {
			if len(s.found) >= mostSpikes {
				s.more++
				continue
			}
			s.found = append(s.found, Spike{w.line, w.time, s.column, w.values[s.column]})
		}
		s.waiting = s.waiting[:0]
		s.pass(r)
	default:
		s.waiting = append(s.waiting, r)
	}
}

// leaves reports whether a row leaves the course of the one before.
func (s *sieve) leaves(r sieved) bool {
	if s.good.values == nil || s.thin.counted <= settled {
		return false
	}
	for k, v := range r.values {
		off := math.Abs(v - s.good.values[k])
		if off > max(spikes*s.thin.noise(k), s.thin.columns[k].Kind.leastSpike()) {
			s.column, s.off = k, off
			return true
		}
	}
	return false
}

func (s *sieve) pass(r sieved) {
	s.thin.add(r.line, r.time, r.values)
	s.good = r
}

// flush passes on what was held back and did not come back: it is how things were.
func (s *sieve) flush() {
	for _, w := range s.waiting {
		s.pass(w)
	}
	s.waiting = s.waiting[:0]
}
