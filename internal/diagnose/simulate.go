package diagnose

import (
	"context"
	"math"
	"slices"

	"kneepoint/internal/batch"
)

// How closely a fault is looked at in a trial.
type look int

const (
	noLook look = iota
	// glance is a few severities, with the slopes of the sound car.
	glance
	// closeLook is all severities between which something changes, and the slopes.
	closeLook
)

// firstLook are the severities at which a fault that is looked at closely is simulated; what
// moves none of them is not simulated in between. glanceAt are those of a glance.
var (
	firstLook = []float64{early, 0.12, 0.24, 0.48, 0.85, 1}
	glanceAt  = []float64{0.24, 0.6, 1}
)

// unmoved is the share of the half width of a gauge's error below which a fault moves a
// trial by nothing: then it moves none of its slopes either (by less than a tenth of the
// scatter of a reading, TestSlopesOfWhatIsNotMoved).
const unmoved = 0.05

// A scope is how closely what can be wrong is looked at, by trial.
type scope struct {
	faults  []func(trial int) look
	figures []func(trial int) look // of the unlistedTracks
	// pairs are the trials in which a pair is simulated, where it is; none are of a pair that
	// need not be thought of at all.
	pairs func(pairing) []int
}

// whole is everything, closely.
func (l *Library) whole() scope {
	closely := func(int) look { return closeLook }
	every := l.every()
	return scope{
		slices.Repeat([]func(int) look{closely}, len(l.faults)),
		slices.Repeat([]func(int) look{closely}, len(unlistedTracks(&l.config))),
		func(pairing) []int { return every },
	}
}

// every is all trials.
func (l *Library) every() []int {
	out := make([]int, len(l.trials))
	for i := range out {
		out[i] = i
	}
	return out
}

// which are the trials for which something holds.
func (l *Library) which(holds func(trial int) bool) []int {
	var out []int
	for t := range l.trials {
		if holds(t) {
			out = append(out, t)
		}
	}
	return out
}

// simulate reads the trials of the scope on the sound car and on that with every fault: at some
// severities first, then at those between which something changes, with the slopes by what is
// unknown.
func (l *Library) simulate(ctx context.Context, progress batch.Progress) error {
	for f := range l.faults {
		l.faults[f].points = make([]point, len(l.faults[f].breakpoints()))
		for k := range l.faults[f].points {
			l.faults[f].points[k].mean = notDone(len(l.trials))
		}
	}
	l.sound = point{mean: notDone(len(l.trials)), slope: make([][unknowns]float64, len(l.trials))}
	if err := l.carryOut(ctx, l.firstPlaces(), stage(progress, 0, 0.5)); err != nil {
		return err
	}
	return l.carryOut(ctx, l.restPlaces(), stage(progress, 0.5, 1))
}

// stage is the part of a progress from one share of the whole to another.
func stage(p batch.Progress, from, to float64) batch.Progress {
	const all = 1000
	return func(done, total int) {
		p.Tell(int(all*(from+(to-from)*float64(done)/float64(total))), all)
	}
}

// notDone are outcomes of trials that were not done.
func notDone(n int) outcomes {
	out := make(outcomes, n)
	for i := range out {
		out[i] = math.NaN()
	}
	return out
}

// placed is an order with the point that it is for: for its means, or its slopes by a nuisance.
type placed struct {
	*point
	order
}

// firstPlaces are the sound car with its slopes, and every fault at a few severities.
func (l *Library) firstPlaces() []placed {
	every := l.every()
	all := []placed{{&l.sound, order{soundCar, every}}}
	for k := range nuisances {
		all = append(all, placed{&l.sound, order{soundCar.moved(k), every}})
	}
	for f := range l.faults {
		for i, severity := range l.faults[f].breakpoints() {
			trials := l.which(func(t int) bool {
				at := l.scope.faults[f](t)
				return at == closeLook && slices.Contains(firstLook, severity) || at == glance && slices.Contains(glanceAt, severity)
			})
			all = append(all, placed{&l.faults[f].points[i], order{soundCar.with(0, f, severity), trials}})
		}
	}
	return all
}

// restPlaces are the severities between two of which a trial reads otherwise, and the slopes
// where it reads otherwise than on the sound car.
func (l *Library) restPlaces() []placed {
	var all []placed
	for f := range l.faults {
		points, breakpoints := l.faults[f].points, l.faults[f].breakpoints()
		add := func(i int, v variant, from, to *point) {
			all = append(all, placed{&points[i], order{v, l.which(func(t int) bool {
				return l.scope.faults[f](t) == closeLook && l.moves(t, from.mean[t], to.mean[t])
			})}})
		}
		below := &l.sound
		for i, severity := range breakpoints {
			if slices.Contains(firstLook, severity) {
				below = &points[i]
				continue
			}
			above := i + slices.IndexFunc(breakpoints[i:], func(k float64) bool { return slices.Contains(firstLook, k) })
			add(i, soundCar.with(0, f, severity), below, &points[above])
		}
		for _, severity := range l.faults[f].slopesAt() {
			i := slices.Index(breakpoints, severity) // looked at first
			for k := range nuisances {
				add(i, soundCar.with(0, f, severity).moved(k), &l.sound, &points[i])
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
func (l *Library) carryOut(ctx context.Context, all []placed, progress batch.Progress) error {
	orders := make([]order, len(all))
	for i, p := range all {
		orders[i] = p.order
	}
	found, err := l.fetch(ctx, orders, progress)
	if err != nil {
		return err
	}
	// Means first, for the slopes.
	for i, p := range all {
		if p.nuisance == noNuisance {
			for k, t := range p.trials {
				p.mean[t] = found[i][k]
			}
		}
	}
	for i, p := range all {
		if p.nuisance == noNuisance {
			continue
		}
		if p.slope == nil {
			p.point.slope = slices.Clone(l.sound.slope)
		}
		for k, t := range p.trials {
			p.slope[t][p.nuisance] = l.trials[t].Felt(finite(found[i][k] - p.mean[t]))
		}
	}
	return nil
}

func finite(v float64) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0
	}
	return v
}
