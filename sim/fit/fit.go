package fit

import (
	"context"
	"fmt"
	"math"
	"slices"

	"kneepoint/internal/batch"
	"kneepoint/internal/leastsquares"
	"kneepoint/internal/portable"
	"kneepoint/sim"
	"kneepoint/sim/gaugelog"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A Fit is one log of a car, or several, ready to be fitted: the car, the unknowns and what
// drives the model.
type Fit struct {
	s        *scenario.Scenario
	logs     []*drive
	unknowns []unknown
	channels []channel
	data     []datum
	left     []bool // out of the data, as no readings of what happened
	played   *recent
	why      string // the usual unknowns were taken; empty if others were asked for
}

// A channel is one gauge of one log, and a datum what it shows at a point.
type (
	channel struct{ log, gauge int }
	datum   struct{ channel, point int }
)

func (f *Fit) drive(c int) *drive  { return f.logs[f.channels[c].log] }
func (f *Fit) gaugeOf(c int) gauge { return f.drive(c).gauges[f.channels[c].gauge] }

func (f *Fit) column(c int) gaugelog.Column {
	return f.drive(c).log.Columns[f.gaugeOf(c).column]
}

func (f *Fit) pointOf(i int) *gaugelog.Point {
	return &f.drive(f.data[i].channel).log.Points[f.data[i].point]
}

// logged is what the gauge showed.
func (f *Fit) logged(i int) float64 {
	return f.pointOf(i).Mean(f.gaugeOf(f.data[i].channel).column)
}

// New puts a scenario and the logs of one car together: gauges, and the vacuum where each
// begins, are every log's own. What does not go together is a *scenario.InputError.
func New(s *scenario.Scenario, logs ...*gaugelog.Log) (*Fit, error) {
	f := &Fit{s: s, played: &recent{}}
	fills := false
	for i, l := range logs {
		d, err := newDrive(s, l)
		if err != nil {
			return nil, err
		}
		f.logs = append(f.logs, d)
		fills = fills || d.fills
		first := len(f.channels)
		for g := range d.gauges {
			f.channels = append(f.channels, channel{i, g})
		}
		for p := range d.log.Points {
			for g := range d.gauges {
				f.data = append(f.data, datum{first + g, p})
			}
		}
	}
	f.left = make([]bool, len(f.data))
	names := s.Fit.Find
	if len(names) == 0 {
		names, f.why = usualUnknowns(s, f.logs)
	}
	for _, name := range names {
		u, want := s.Unknown(name)
		if want != "" {
			return nil, fitProblem(logs[0], scenario.KeyFitFind, fmt.Sprintf("%q", name), want)
		}
		own := f.ownOf(name)
		if len(own) == 0 && ownName(name) {
			return nil, fitProblem(logs[0], scenario.KeyFitFind, name, ownWant(name))
		}
		if len(own) == 0 {
			own = []int{ofCar}
		}
		for _, log := range own {
			unknown := unknownOf(s, u)
			unknown.log = log
			f.unknowns = append(f.unknowns, unknown)
		}
	}
	for i, d := range f.logs {
		if d.fills {
			f.unknowns = append(f.unknowns, startUnknown(d.start, &s.Config, i))
		}
	}
	if need := len(f.unknowns) + 1; len(f.data) < need {
		return nil, &scenario.InputError{Problems: []scenario.Problem{{File: logs[0].Name, Line: logs[0].FirstLine, Key: "rows",
			Read: fmt.Sprint(logs[0].Rows), Want: fmt.Sprintf("at least %d for %d unknowns", need, len(f.unknowns))}}}
	}
	return f, nil
}

func fitProblem(l *gaugelog.Log, key, read, want string) error {
	return &scenario.InputError{Problems: []scenario.Problem{{File: l.Name, Line: l.HeaderLine, Key: key, Read: read, Want: want}}}
}

// ownName says that an unknown is a log's own.
func ownName(name string) bool {
	_, gauges := habitUnknowns[name]
	return gauges || name == scenario.EngineStops
}

// ownOf are the logs that have an unknown of their own by a name.
func (f *Fit) ownOf(name string) []int {
	var out []int
	for i, d := range f.logs {
		h, gauges := habitUnknowns[name]
		switch {
		case gauges && d.has(h.of), name == scenario.EngineStops && d.fills && !d.runs():
			out = append(out, i)
		}
	}
	return out
}

func ownWant(name string) string {
	switch h, gauges := habitUnknowns[name]; {
	case !gauges:
		return "a log that begins with the engine off, and no [[event]]"
	case h.of == si.DimPressure:
		return "a column with a line pressure in the log"
	}
	return "a column with a vacuum in the log"
}

const (
	// searchStep is the half width of the differences, on the scale of the search: far
	// above what the solver's own errors come to.
	searchStep = 0.03
	// searchNear is how close to the minimum is close enough, in standard errors.
	searchNear = 0.02
	// searchPull is how far an unknown of which the log says nothing may well be from its
	// start, on that scale: a factor of e (estimate). One that the log fixes to 3 % is moved by
	// it by a thirtieth of its standard error for each such factor.
	searchPull = 1.0
	// rounds is how often the gauges are weighed anew by what they miss, or readings are
	// left out.
	rounds = 6
	// leastVariance is a share of the scatter of a gauge below which nothing is gained.
	leastVariance = 1e-4
)

// Solve finds the unknowns, and what else the logs show by themselves.
func (f *Fit) Solve(ctx context.Context, progress batch.Progress) (*Result, error) {
	if err := f.scan(ctx); err != nil {
		return nil, err
	}
	asked, err := f.solve(ctx, make([]float64, len(f.unknowns)), progress)
	if err != nil {
		return nil, err
	}
	whole, found, err := f.extended(ctx, asked, progress)
	if err != nil {
		return nil, err
	}
	return whole.fit.result(ctx, whole, found)
}

// A solution is the best car under some weights.
type solution struct {
	fit        *Fit
	best       *leastsquares.Fit
	deviations []float64 // of all data
}

// solve finds the unknowns that the fit has, weighing readings by what they scatter and
// leaving out those that are none.
func (f *Fit) solve(ctx context.Context, from []float64, progress batch.Progress) (*solution, error) {
	noise := f.noise()
	out := &solution{fit: f}
	for round := 1; ; round++ {
		byFoot, err := f.byFoot(ctx, from)
		if err != nil {
			return nil, err
		}
		out.deviations = f.deviations(noise, byFoot)
		out.best, err = f.search(ctx, from, out.deviations, progress)
		if err != nil {
			return nil, err
		}
		moved := 0.0
		for j := range from {
			moved = max(moved, math.Abs(out.best.X[j]-from[j]))
		}
		from = out.best.X
		const little = 0.05
		again := byFoot != nil && moved > little
		left, err := f.dropped(ctx, from, out.deviations)
		if err != nil {
			return nil, err
		}
		changed := !slices.Equal(left, f.left)
		if len(noise) > 1 && !changed && f.weighAnew(out.best, noise) {
			again = true
		}
		// Only another search may follow a change of what is left out: the best car's residuals
		// are of the readings that it was found by, and are read as those from here on.
		if round == rounds || !again && !changed {
			return out, nil
		}
		f.left = left
	}
}

// search is one search under fixed weights.
func (f *Fit) search(ctx context.Context, from, deviations []float64, progress batch.Progress) (*leastsquares.Fit, error) {
	problem := leastsquares.Problem{
		Start: make([]float64, len(f.unknowns)), From: from,
		Step: searchStep, Pull: searchPull, Least: leastVariance, Near: searchNear,
		Watch:     func(int) { progress.Tell(0, 1) },
		Residuals: func(ctx context.Context, x []float64) ([]float64, error) { return f.residuals(ctx, x, deviations) },
	}
	for _, u := range f.unknowns {
		problem.Low = append(problem.Low, u.scaled(u.low))
		problem.High = append(problem.High, u.scaled(u.high))
	}
	return leastsquares.Solve(ctx, problem)
}

// noise is the scatter of each gauge about straight lines through its neighbours.
func (f *Fit) noise() []float64 {
	noise := make([]float64, len(f.channels))
	for c := range noise {
		noise[c] = f.column(c).Noise
	}
	return noise
}

// scan looks for a beginning, among a few, of unknowns that have none in the scenario: a leak
// that it has not, and an engine that stops.
func (f *Fit) scan(ctx context.Context) error {
	for j := range f.unknowns {
		u := &f.unknowns[j]
		var tries []float64
		switch {
		case u.Fault != "" && u.Fault.Measure() == sim.FaultByArea:
			u.found, tries = true, leakSizes()
		case u.Name == scenario.EngineStops:
			tries = f.logs[u.log].stopTries()
		}
		if len(tries) == 0 {
			continue
		}
		even := f.deviations(f.noise(), nil)
		sums := make([]float64, len(tries))
		_, err := batch.ForEach(ctx, len(tries), nil, func(ctx context.Context, i int) error {
			x := make([]float64, len(f.unknowns))
			x[j] = u.scaled(tries[i])
			sums[i] = math.Inf(1)
			r, err := f.residuals(ctx, x, even)
			if err == nil {
				sums[i] = 0
				for _, v := range r {
					sums[i] += v * v
				}
			}
			return ctx.Err()
		})
		if err != nil {
			return err
		}
		best := 0
		for i := range sums {
			if sums[i] < sums[best] {
				best = i
			}
		}
		u.start = tries[best]
	}
	return nil
}

// leakSizes are those that a leak may have, evenly over their logarithms.
func leakSizes() []float64 {
	areas := make([]float64, leakTries)
	for i := range areas {
		areas[i] = leastLeak * portable.Pow(mostLeak/leastLeak, float64(i)/(leakTries-1))
	}
	return areas
}

// stopTries are times at which an engine may have stopped in a log, in s.
func (d *drive) stopTries() []float64 {
	const longest, wider = 40, 1.6
	var out []float64
	for t := 1.0; t <= min(float64(d.log.Until()-d.log.From())/2, longest); t *= wider {
		out = append(out, t)
	}
	return out
}

// values are the unknowns in SI.
func (f *Fit) values(x []float64) []float64 {
	out := make([]float64, len(x))
	for j := range x {
		out[j] = f.unknowns[j].value(x[j])
	}
	return out
}

// played is a car at some values of the unknowns, driven by the logs.
type played struct {
	car    sim.Config
	tracks []*sim.Trajectory
	habits []habits
}

func (f *Fit) play(ctx context.Context, x []float64, by foot) (*played, error) {
	values := f.values(x)
	asked := make([]scenario.Unknown, len(f.unknowns))
	p := &played{habits: f.habitsAt(x)}
	starts, stops := make([]si.Vacuum, len(f.logs)), make([]si.Time, len(f.logs))
	for i, d := range f.logs {
		starts[i] = d.start
	}
	for j, u := range f.unknowns {
		asked[j] = u.Unknown
		switch u.Name {
		case StartVacuum:
			starts[u.log] = si.Vacuum(values[j])
		case scenario.EngineStops:
			stops[u.log] = si.Time(values[j])
		}
	}
	s, err := f.s.WithUnknowns(asked, values)
	if err != nil {
		return nil, err
	}
	p.car = s.Config
	for i, d := range f.logs {
		track, err := d.run(ctx, s.Config, starts[i], stops[i], by)
		if err != nil {
			return nil, err
		}
		p.tracks = append(p.tracks, track)
	}
	return p, nil
}

// habitsAt are those of the gauges of each log.
func (f *Fit) habitsAt(x []float64) []habits {
	out := make([]habits, len(f.logs))
	for i := range out {
		out[i] = habits{}
	}
	for j := range f.unknowns {
		u := &f.unknowns[j]
		if h, ok := habitUnknowns[u.Name]; ok {
			habit := out[u.log][h.of]
			h.set(&habit, u.value(x[j]))
			out[u.log][h.of] = habit
		}
	}
	return out
}

// result runs the best car once more and takes down what each gauge misses.
func (f *Fit) result(ctx context.Context, s *solution, found *findings) (*Result, error) {
	p, err := f.play(ctx, s.best.X, foot{})
	if err != nil {
		return nil, err
	}
	r := &Result{
		title: f.s.Title, fit: f, Converged: s.best.Converged, Steps: s.best.Steps,
		played: p, misses: f.misses(p), findings: *found,
	}
	for c := range f.channels {
		r.Gauges = append(r.Gauges, f.gaugeFit(c, r.misses, s.deviations))
	}
	r.Outliers = f.outliers()
	r.judge(s.best)
	for i := range r.Added { // as they are with all that was added after them
		for k := range r.Added[i].Found {
			n := &r.Added[i].Found[k]
			for j, u := range f.unknowns {
				if u.Name == n.Name && u.log == n.log {
					n.Value = r.Unknowns[j].Estimate
				}
			}
		}
	}
	return r, nil
}
