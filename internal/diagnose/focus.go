package diagnose

import (
	"context"
	"slices"

	"kneepoint/internal/batch"
	"kneepoint/internal/workshop"
	"kneepoint/sim/scenario"
)

// What the readings leave a fault decides how closely it is looked at in the trials that were
// not done: by itself or beside another, likely is enough for all severities, and below faint
// it has no part in what to do next. A pair that is lost is left out.
const (
	likely = 0.01
	faint  = 3e-4
	lost   = 1e-6
)

// newFocused is a library that simulates no more than readings ask for.
func newFocused(ctx context.Context, s *scenario.Scenario, readings []scenario.Reading) (*Library, error) {
	l, err := prepare(ctx, s, readings)
	if err != nil {
		return nil, err
	}
	l.focuses = true
	return l, nil
}

// focus is a library for some readings: everything is looked at closely in the trials that
// were read, and then, in all others, what these leave likely. What it says hangs on the
// readings alone, and not on what else was simulated before.
func (l *Library) focus(ctx context.Context, readings []taken, progress batch.Progress) (*Library, error) {
	if len(readings) == 0 {
		f := l.anew(l.trials, l.menu)
		return f, f.complete(ctx, f.whole(), progress)
	}
	first, read := l.ofRead(readings)
	if err := first.lookAt(ctx, first.whole(), stage(progress, 0, 0.6)); err != nil {
		return nil, err
	}
	p, err := first.believe(ctx, read)
	if err != nil {
		return nil, err
	}
	f := l.anew(l.trials, l.menu)
	return f, f.complete(ctx, f.scopeOf(p, readings), stage(progress, 0.6, 1))
}

// anew is a library of some trials, of which nothing is laid out; menu as in a [Library].
func (l *Library) anew(trials []workshop.Trial, menu int) *Library {
	f := *l
	f.focuses = false
	f.trials, f.menu = trials, menu
	f.faults = slices.Clone(l.faults)
	return &f
}

// ofRead is a library of the trials that were read, and the readings with their places in it.
func (l *Library) ofRead(readings []taken) (*Library, []taken) {
	var trials []workshop.Trial
	read := slices.Clone(readings)
	for i := range read {
		at := slices.Index(trials, read[i].trial)
		if at < 0 {
			at = len(trials)
			trials = append(trials, read[i].trial)
		}
		read[i].at = at
	}
	return l.anew(trials, len(trials)), read
}

// scopeOf is what a belief that knows only the trials that were read leaves worth looking at.
func (l *Library) scopeOf(p *posterior, readings []taken) scope {
	wasRead := make([]bool, len(l.trials))
	for i := range readings {
		wasRead[readings[i].at] = true
	}
	by := func(weight float64) func(int) look {
		return func(t int) look {
			switch {
			case wasRead[t] || weight >= likely:
				return closeLook
			case weight >= faint:
				return glance
			}
			return noLook
		}
	}
	faults, figures, pairs := p.shares(len(l.faults), len(unlistedTracks(&l.config)))
	every, read := l.every(), l.which(func(t int) bool { return wasRead[t] })
	s := scope{pairs: func(c pairing) []int {
		switch {
		case pairs[c] >= likely:
			return every
		case pairs[c] >= lost:
			return read
		}
		return nil
	}}
	for _, weight := range faults {
		s.faults = append(s.faults, by(weight))
	}
	for _, weight := range figures {
		s.figures = append(s.figures, by(weight))
	}
	return s
}

// shares are what each of n faults has, alone or beside another, each of the tracks of what is in
// no list, and each pair.
func (p *posterior) shares(n, tracks int) (faults, figures []float64, pairs map[pairing]float64) {
	faults, figures, pairs = make([]float64, n), make([]float64, tracks), map[pairing]float64{}
	for i := range p.hypotheses {
		h := &p.hypotheses[i]
		if h.unlisted != nil {
			figures[h.unlisted.track] += h.weight
			continue
		}
		for _, f := range h.faults {
			if f != noFault {
				faults[f] += h.weight
			}
		}
		if h.faults[1] != noFault {
			pairs[pairing{h.faults[0], h.faults[1]}] += h.weight
		}
	}
	return faults, figures, pairs
}

// closely reports whether a fault is looked at closely in every trial.
func (l *Library) closely(fault int) bool {
	return len(l.which(func(t int) bool { return l.scope.faults[fault](t) != closeLook })) == 0
}
