package diagnose

import (
	"context"
	"fmt"
	"math"
	"slices"

	"kneepoint/sim"
	"kneepoint/sim/batch"
	"kneepoint/sim/si"
	"kneepoint/sim/workshop"
)

// firstLook are the severities at which a fault is simulated in every trial; what moves none
// of them is not simulated in between.
var firstLook = []float64{early, 0.12, 0.24, 0.48, 0.85, 1}

// unmoved is the share of the half width of a gauge's error below which a fault moves a
// trial by nothing: then it moves none of its slopes either (by less than a tenth of the
// scatter of a reading, TestSlopesOfWhatIsNotMoved).
const unmoved = 0.05

// A variant is one car to simulate: a fault, or none, and one nuisance moved.
type variant struct {
	fault, breakpoint int // of the library's faults, or noFault
	nuisance          int // of the nuisances, or noNuisance
}

// An order is one car with the trials to do on it.
type order struct {
	variant
	trials []int
}

// simulate reads all trials on the sound car and on that with every fault: at some severities
// first, then at those between which something changes, with the slopes by what is unknown.
func (l *Library) simulate(ctx context.Context, progress batch.Progress) error {
	for f := range l.faults {
		l.faults[f].points = make([]point, len(l.faults[f].breakpoints()))
		for k := range l.faults[f].points {
			l.faults[f].points[k].mean = notDone(len(l.trials))
		}
	}
	l.sound = point{mean: notDone(len(l.trials)), slope: make([][unknowns]float64, len(l.trials))}
	first := l.firstOrders()
	// Nearly as many cars again follow, each with fewer trials.
	total := 2 * len(first)
	if err := l.carryOut(ctx, first, func(done, _ int) { progress.Tell(done, total) }); err != nil {
		return err
	}
	rest := l.restOrders()
	return l.carryOut(ctx, rest, func(done, of int) { progress.Tell(len(first)+done*len(first)/of, total) })
}

// notDone are outcomes of trials that were not done.
func notDone(n int) outcomes {
	out := make(outcomes, n)
	for i := range out {
		out[i] = math.NaN()
	}
	return out
}

// every is all trials.
func (l *Library) every() []int {
	out := make([]int, len(l.trials))
	for i := range out {
		out[i] = i
	}
	return out
}

// firstOrders are the sound car with its slopes, and every fault at a few severities.
func (l *Library) firstOrders() []order {
	every := l.every()
	all := []order{{variant{noFault, 0, noNuisance}, every}}
	for k := range nuisances {
		all = append(all, order{variant{noFault, 0, k}, every})
	}
	for f := range l.faults {
		for i, s := range l.faults[f].breakpoints() {
			if slices.Contains(firstLook, s) {
				all = append(all, order{variant{f, i, noNuisance}, every})
			}
		}
	}
	return all
}

// restOrders are the severities between two of which a trial reads otherwise, and the slopes
// where it reads otherwise than on the sound car.
func (l *Library) restOrders() []order {
	var all []order
	add := func(v variant, differs func(trial int) bool) {
		var trials []int
		for t := range l.trials {
			if differs(t) {
				trials = append(trials, t)
			}
		}
		if len(trials) > 0 {
			all = append(all, order{v, trials})
		}
	}
	for f := range l.faults {
		points, breakpoints := l.faults[f].points, l.faults[f].breakpoints()
		below, above := &l.sound, 0
		for i, s := range breakpoints {
			if slices.Contains(firstLook, s) {
				below = &points[i]
				continue
			}
			for above = i; !slices.Contains(firstLook, breakpoints[above]); {
				above++
			}
			add(variant{f, i, noNuisance}, func(t int) bool { return l.moves(t, below.mean[t], points[above].mean[t]) })
		}
		for _, s := range l.faults[f].slopesAt() {
			i := slices.Index(breakpoints, s) // looked at first
			for k := range nuisances {
				add(variant{f, i, k}, func(t int) bool { return l.moves(t, l.sound.mean[t], points[i].mean[t]) })
			}
		}
	}
	return all
}

// moves reports whether two outcomes of a trial differ by more than next to nothing. One that
// does not exist differs from all that do.
func (l *Library) moves(t int, a, b float64) bool {
	if math.IsNaN(a) || math.IsNaN(b) {
		return math.IsNaN(a) != math.IsNaN(b)
	}
	half, _ := l.trials[t].Gauge()
	return math.Abs(a-b) >= unmoved*half
}

// carryOut simulates cars and puts what they read where it belongs. A slope is the difference
// to the car without the nuisance, which must be there.
func (l *Library) carryOut(ctx context.Context, orders []order, progress batch.Progress) error {
	found, _, err := batch.Gather(ctx, len(orders), progress, func(ctx context.Context, i int) (outcomes, error) {
		o := orders[i]
		var faults []sim.Fault
		if o.fault != noFault {
			t := &l.faults[o.fault]
			faults = []sim.Fault{workshop.FaultAt(t.names[0], si.Ratio(t.breakpoints()[o.breakpoint]))}
		}
		return l.outcomes(ctx, faults, o.nuisance, o.trials)
	})
	if err != nil {
		return err
	}
	// Means first, for the slopes.
	for i, o := range orders {
		if o.nuisance == noNuisance {
			p := l.at(o.variant)
			for k, t := range o.trials {
				p.mean[t] = found[i][k]
			}
		}
	}
	for i, o := range orders {
		if o.nuisance == noNuisance {
			continue
		}
		p := l.at(o.variant)
		if p.slope == nil {
			p.slope = slices.Clone(l.sound.slope)
		}
		for k, t := range o.trials {
			p.slope[t][o.nuisance] = l.trials[t].Felt(finite(found[i][k] - p.mean[t]))
		}
	}
	return nil
}

// at is the point of a variant.
func (l *Library) at(v variant) *point {
	if v.fault == noFault {
		return &l.sound
	}
	return &l.faults[v.fault].points[v.breakpoint]
}

// outcomes simulates some of the trials on one car. What the solver cannot carry to its end has no
// outcome; only the end of the context, or a sound car that cannot be
// simulated, is an error.
func (l *Library) outcomes(ctx context.Context, faults []sim.Fault, moved int, trials []int) (outcomes, error) {
	c, g := l.config, workshop.Gauges{}
	if moved != noNuisance {
		nuisances[moved].shift(&c, &g, 1)
		keepReturning(&c)
	}
	c.Faults = faults
	return l.read(ctx, c, g, trials, len(faults) == 0 && moved == noNuisance)
}

// read simulates some of the trials on a car and returns their outcomes in that order. What
// the solver cannot carry to its end is NaN, or an error where it must.
func (l *Library) read(ctx context.Context, c sim.Config, g workshop.Gauges, trials []int, must bool) (outcomes, error) {
	rig := workshop.NewRig(c, l.reserve, g).WithBook(l.book)
	out := make(outcomes, len(trials))
	for i, at := range trials {
		t := l.trials[at]
		v, err := rig.Try(ctx, t)
		switch {
		case ctx.Err() != nil:
			return nil, context.Cause(ctx)
		case err != nil && must:
			return nil, fmt.Errorf("%s on the car without a fault: %w", t.Words(si.SI), err)
		case err != nil:
			v = math.NaN()
		}
		out[i] = v
	}
	return out, nil
}
