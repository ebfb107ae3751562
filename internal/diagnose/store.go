package diagnose

import (
	"context"
	"fmt"
	"math"
	"sync"

	"kneepoint/internal/batch"
	"kneepoint/internal/workshop"
	"kneepoint/sim/si"
)

// A variant is one car to simulate: faults, or none, or a figure far off, and one nuisance
// moved.
type variant struct {
	faults     [2]int // of the library's faults, or noFault
	severities [2]float64
	nuisance   int // of the nuisances, or noNuisance
	// figure is of the unlistedTracks, or noFigure; share is that of the logarithm of
	// mostFactor by which it is off.
	figure int
	share  float64
}

// noFigure stands where none is off.
const noFigure = -1

// soundCar is the variant with nothing wrong.
var soundCar = variant{faults: [2]int{noFault, noFault}, nuisance: noNuisance, figure: noFigure}

// with is a variant of a car with a fault.
func (v variant) with(place, fault int, severity float64) variant {
	v.faults[place], v.severities[place] = fault, severity
	return v
}

// moved is a variant with a nuisance moved.
func (v variant) moved(nuisance int) variant {
	v.nuisance = nuisance
	return v
}

// off is a variant with a figure far off.
func (v variant) off(figure int, share float64) variant {
	v.figure, v.share = figure, share
	return v
}

// An order is one car with the trials to do on it, by their places in a library.
type order struct {
	variant
	trials []int
}

// A store has what was simulated on one kind of car, for any number of questions. The
// workshop's book tells likenesses between cars, but has only what this program did itself;
// here is what all of a crew did.
type store struct {
	mu    sync.Mutex
	found map[simulated]float64
}

// simulated is one trial on one car.
type simulated struct {
	variant
	trial workshop.Trial
}

func newStore() *store { return &store{found: map[simulated]float64{}} }

// fetch returns the outcomes of orders, each in the order of its trials. What is not in the
// store is simulated.
func (l *Library) fetch(ctx context.Context, orders []order, progress batch.Progress) ([]outcomes, error) {
	missing := l.store.missing(l, orders)
	read, _, err := batch.Gather(ctx, len(missing), progress, func(ctx context.Context, i int) (outcomes, error) {
		return l.outcomes(ctx, missing[i].variant, missing[i].trials)
	})
	if err != nil {
		return nil, err
	}
	l.store.mu.Lock()
	defer l.store.mu.Unlock()
	for i, o := range missing {
		for k, t := range o.trials {
			l.store.found[simulated{o.variant, l.trials[t]}] = read[i][k]
		}
	}
	out := make([]outcomes, len(orders))
	for i, o := range orders {
		out[i] = make(outcomes, len(o.trials))
		for k, t := range o.trials {
			out[i][k] = l.store.found[simulated{o.variant, l.trials[t]}]
		}
	}
	return out, nil
}

// missing is what of some orders is not in the store.
func (s *store) missing(l *Library, orders []order) []order {
	s.mu.Lock()
	defer s.mu.Unlock()
	var out []order
	for _, o := range orders {
		var trials []int
		for _, t := range o.trials {
			if _, ok := s.found[simulated{o.variant, l.trials[t]}]; !ok {
				trials = append(trials, t)
			}
		}
		if len(trials) > 0 {
			out = append(out, order{o.variant, trials})
		}
	}
	return out
}

// outcomes simulates some of the trials on one car and returns their outcomes in that order.
// What the solver cannot carry to its end has no outcome, and is NaN; only the end of the
// context, or a sound car that cannot be simulated, is an error.
func (l *Library) outcomes(ctx context.Context, v variant, trials []int) (outcomes, error) {
	c, g := l.config, workshop.Gauges{}
	if v.figure != noFigure {
		unlistedTracks(&l.config)[v.figure].put(&c, v.share)
	}
	if v.nuisance != noNuisance {
		nuisances[v.nuisance].shift(&c, &g, 1)
		keepReturning(&c)
	}
	c.Faults = nil
	for k, f := range v.faults {
		if f != noFault {
			c.Faults = append(c.Faults, workshop.FaultAt(l.faults[f].names[0], si.Ratio(v.severities[k])))
		}
	}
	rig := workshop.NewRig(c, l.reserve, g).WithBook(l.book)
	out := make(outcomes, len(trials))
	for i, at := range trials {
		t := l.trials[at]
		outcome, err := rig.Try(ctx, t)
		switch {
		case ctx.Err() != nil:
			return nil, context.Cause(ctx)
		case err != nil && v == soundCar:
			return nil, fmt.Errorf("%s on the car without a fault: %w", t.Words(si.SI), err)
		case err != nil:
			outcome = math.NaN()
		}
		out[i] = outcome
	}
	return out, nil
}
