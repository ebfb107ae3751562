package diagnose

import (
	"context"
	"slices"

	"kneepoint/internal/batch"
	"kneepoint/internal/sourcenote"
	"kneepoint/internal/workshop"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
)

// Severities at which a fault is simulated. Between them outcomes are
// interpolated without overshoot (Fritsch and Butland).
var usualBreakpoints = []float64{0.12, 0.24, 0.36, 0.48, 0.6, 0.7, 0.78, 0.85, 0.9, 0.95, 1}

// early is a breakpoint before them, for a fault that shows from next to nothing on.
const early = 0.02

// slopeBreakpoints are the severities at which the slopes by the nuisances are
// simulated too; they lie among the breakpoints. A hole or a restriction grows by powers of
// ten, all else more evenly.
var (
	slopeBreakpoints = []float64{0.48, 0.85}
	evenBreakpoints  = []float64{0.85}
)

// slopesAt are those of a fault.
func (t *track) slopesAt() []float64 {
	if t.names[0].Measure() == sim.FaultBySeverity {
		return evenBreakpoints
	}
	return slopeBreakpoints
}

// breakpoints are the severities at which a fault is simulated.
func (t *track) breakpoints() []float64 {
	if t.names[0] == sim.FaultReturnPortCovered {
		return append([]float64{early}, usualBreakpoints...)
	}
	return usualBreakpoints
}

// severities is the number of severities that are told apart in an answer.
const severities = 24

// A Library holds what every test reads on one kind of car with every fault: it
// is simulated once and serves any number of readings. It can be used by several
// goroutines.
type Library struct {
	title   string
	note    sourcenote.Note
	config  sim.Config
	reserve scenario.Reserve
	trials  []workshop.Trial
	menu    int // the first of the trials
	sound   point
	faults  []track
	cells   []cell
	// fine has the outcomes of every fault at compareSteps+1 even severities, fineGauges the
	// same in half widths of the gauges.
	fine, fineGauges [][]outcomes
	// unlistedCells are cars with something wrong that is not in the list.
	unlistedCells []unlistedCell

	pairs *pairs
	book  *workshop.Book
	store *store
	scope scope
	// focuses says that every set of readings is answered by a library of its own, in which
	// only what matters to it is looked at closely.
	focuses bool

	// complaint is what the driver says, and garage what the workshop has.
	complaint scenario.Complaint
	garage    scenario.Diagnose
	vacuum    Vacuum
}

// A point is the outcome of every trial for one car, and its slopes by all that
// is unknown, each for one standard deviation; an outcome that does not exist is
// NaN.
type point struct {
	mean  outcomes
	slope [][unknowns]float64
}

// outcomes are what every trial reads on one car, by the place of the trial in the
// library.
type outcomes []float64

// A step is a range of severities, with what is read at its ends and in the middle.
type step struct{ low, middle, high outcomes }

// stepsOf joins outcomes at even severities to steps, each from one to the next but one.
func stepsOf(even []outcomes) []step {
	out := make([]step, (len(even)-1)/2)
	for i := range out {
		out[i] = step{even[2*i], even[2*i+1], even[2*i+2]}
	}
	return out
}

// noFault stands where there is no fault.
const noFault = -1

// A track is one fault over its severities.
type track struct {
	names  []sim.FaultName // more than one where the model has no difference
	points []point         // at its breakpoints; slopes at slopeBreakpoints only
	// often is the share of all cars with one fault that have this one, flat what it would
	// be if every name were as likely as any other.
	often, flat float64
}

// A cell is one fault at one severity with what every trial reads. Without a
// fault it is the sound car.
type cell struct {
	fault    int // of the library's faults, noFault for the sound car
	severity float64
	// fromSound is the gap to the sound car, fromFault[f] that to fault f of the
	// severity nearest to it.
	fromSound float64
	fromFault []float64
	point
}

// NewLibrary simulates the car of a scenario with every fault, for the tests
// that can be recommended and those of the readings. Faults in the scenario are
// left out, since they are what is looked for.
func NewLibrary(ctx context.Context, s *scenario.Scenario, readings []scenario.Reading, progress batch.Progress) (*Library, error) {
	l, err := prepare(ctx, s, readings)
	if err != nil {
		return nil, err
	}
	return l, l.complete(ctx, l.whole(), progress)
}

// complete is lookAt, with the faults compared with each other: all that an answer takes.
func (l *Library) complete(ctx context.Context, s scope, progress batch.Progress) error {
	if err := l.lookAt(ctx, s, progress); err != nil {
		return err
	}
	l.compareFaults()
	return nil
}

// lookAt simulates what is in a scope, and lays it out: as much as readings are weighed by.
func (l *Library) lookAt(ctx context.Context, s scope, progress batch.Progress) error {
	l.scope = s
	if err := l.simulate(ctx, progress); err != nil {
		return err
	}
	l.layOut()
	if err := l.simulateUnlisted(ctx); err != nil {
		return err
	}
	l.pairs = &pairs{}
	return nil
}

// prepare is a library of which nothing has been simulated.
func prepare(ctx context.Context, s *scenario.Scenario, readings []scenario.Reading) (*Library, error) {
	l := &Library{title: s.Title, note: sourcenote.On(s), config: s.Config, reserve: s.Reserve, book: workshop.NewBook(), store: newStore()}
	l.config.Faults = nil
	l.complaint, l.garage = s.Diagnose.Complaint, s.Diagnose
	var err error
	if l.vacuum, err = l.lookAtVacuum(ctx, s, readings); err != nil {
		return nil, err
	}
	l.trials = slices.DeleteFunc(workshop.Menu(&l.config), func(t workshop.Trial) bool { return !l.canDo(t) })
	if !l.garage.Has(scenario.VacuumGauge) {
		l.trials = append(l.trials, workshop.WithoutGauge())
	}
	var more []workshop.Trial
	for _, r := range readings {
		t, err := workshop.TrialOf(r)
		switch {
		case err != nil:
			return nil, err
		case l.place(t) >= 0:
		case l.canDo(t):
			more = append(more, t)
		default:
			// Whoever has the tool has read it: it tells cars apart as the menu does.
			l.trials = append(l.trials, t)
		}
	}
	l.menu = len(l.trials)
	for _, t := range more {
		if l.place(t) < 0 {
			l.trials = append(l.trials, t)
		}
	}
	for _, name := range suspectsOf(&l.config) {
		if name == sim.FaultVacuumSeatLeak {
			continue // in the model it joins the chambers as a tear does
		}
		names := []sim.FaultName{name}
		if name == sim.FaultDiaphragmTorn {
			names = append(names, sim.FaultVacuumSeatLeak)
		}
		l.faults = append(l.faults, track{names: names})
	}
	l.count()
	return l, nil
}

// count settles how often each fault is there.
func (l *Library) count() {
	all, names := 0.0, 0.0
	for i := range l.faults {
		t := &l.faults[i]
		t.often = 0
		for _, name := range t.names {
			often, _ := workshop.Frequency(name)
			t.often += often
		}
		all, names = all+t.often, names+float64(len(t.names))
	}
	for i := range l.faults {
		l.faults[i].often /= all
		l.faults[i].flat = float64(len(l.faults[i].names)) / names
	}
}

// Under is the library for a driver who complains of something, or of nothing: what was
// simulated is shared.
func (l *Library) Under(c scenario.Complaint) *Library {
	other := *l
	other.complaint = c
	return &other
}

// suspectsOf returns the faults that a car can have.
func suspectsOf(c *sim.Config) []sim.FaultName {
	drums := c.Car.FrontBrake.Kind.IsDrum() || c.Car.RearBrake.Kind.IsDrum()
	return slices.DeleteFunc(sim.FaultNames(), func(f sim.FaultName) bool {
		switch {
		case f == sim.FaultShoesOutOfAdjustment:
			return !drums
		case f == sim.FaultCaliperSeized:
			return c.Car.FrontBrake.Kind.IsDrum()
		}
		side := f.Side()
		return c.Booster.Kind == sim.BoosterNone && (side == sim.SideSupply || side == sim.SideBooster)
	})
}

// cellsOf are the cells of a fault, the least severe first.
func (l *Library) cellsOf(fault int) []cell {
	return l.cells[1+fault*severities : 1+(fault+1)*severities]
}

// layOut interpolates every fault over its severities.
func (l *Library) layOut() {
	l.cells = []cell{{fault: noFault, point: l.sound}}
	l.fine, l.fineGauges = make([][]outcomes, len(l.faults)), make([][]outcomes, len(l.faults))
	for f := range l.faults {
		l.fine[f] = l.means(f, compareSteps)
		for _, m := range l.fine[f] {
			l.fineGauges[f] = append(l.fineGauges[f], l.inGauges(m))
		}
		for i, within := range stepsOf(l.means(f, 2*severities)) {
			s := (float64(i) + 0.5) / severities
			p := point{mean: within.middle, slope: make([][unknowns]float64, len(l.trials))}
			for t := range l.trials {
				p.slope[t] = l.slopeAt(f, t, s)
				p.slope[t][countNuisances] = withinStep * finite(within.high[t]-within.low[t])
			}
			l.cells = append(l.cells, cell{fault: f, severity: s, point: p, fromSound: l.gap(&p, &l.sound)})
		}
	}
}

// withinStep is the standard deviation of what lies anywhere in a step.
const withinStep = 0.28867513459481287 // 1/√12

// means returns the outcomes of a fault at n+1 even severities from 0 to 1.
func (l *Library) means(f, n int) []outcomes {
	return l.interpolate(l.faults[f].breakpoints(), l.faults[f].points, n)
}

// slopeAt interpolates the slopes linearly from the sound car on.
func (l *Library) slopeAt(f, t int, s float64) [unknowns]float64 {
	before, at := l.sound.slope[t], 0.0
	for i, k := range l.faults[f].breakpoints() {
		if !slices.Contains(l.faults[f].slopesAt(), k) {
			continue
		}
		next := l.sound.slope[t]
		if p := &l.faults[f].points[i]; p.slope != nil {
			next = p.slope[t]
		}
		if s <= k {
			share := (s - at) / (k - at)
			for j := range countNuisances {
				before[j] += share * (next[j] - before[j])
			}
			return before
		}
		before, at = next, k
	}
	return before
}
