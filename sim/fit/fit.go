package fit

import (
	"context"
	"fmt"
	"math"

	"kneepoint/internal/leastsquares"
	"kneepoint/internal/portable"
	"kneepoint/sim"
	"kneepoint/sim/batch"
	"kneepoint/sim/gaugelog"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A Fit is a log that is ready to be fitted: the car, the unknowns and what drives
// the model.
type Fit struct {
	s        *scenario.Scenario
	d        *drive
	unknowns []unknown
	played   recent
	why      string // the usual unknowns were taken; empty if others were asked for
}

// New puts a log and a scenario together. What does not go together is a
// *scenario.InputError.
func New(s *scenario.Scenario, l *gaugelog.Log) (*Fit, error) {
	d, err := newDrive(s, l)
	if err != nil {
		return nil, err
	}
	f := &Fit{s: s, d: d}
	names := s.Fit.Find
	if len(names) == 0 {
		names, f.why = usualUnknowns(s, d)
	}
	for _, name := range names {
		u, want := s.Unknown(name)
		switch {
		case want != "":
			return nil, fitProblem(l, "fit.find", fmt.Sprintf("%q", name), want)
		case u.Dim == si.DimVacuum && u.Name == scenario.VacuumOffset && !d.hasVacuum:
			return nil, fitProblem(l, "fit.find", name, "a column with a vacuum in the log")
		case u.Name == scenario.LineOffset && l.Column(gaugelog.Line) < 0 && l.Column(gaugelog.RearLine) < 0:
			return nil, fitProblem(l, "fit.find", name, "a column with a line pressure in the log")
		}
		f.unknowns = append(f.unknowns, unknownOf(s, u))
	}
	if d.fills {
		f.unknowns = append(f.unknowns, startUnknown(d.start, &s.Config))
	}
	if need := len(f.unknowns) + 1; len(l.Points)*len(d.gauges) < need {
		return nil, &scenario.InputError{Problems: []scenario.Problem{{File: l.Name, Line: l.FirstLine, Key: "rows",
			Read: fmt.Sprint(l.Rows), Want: fmt.Sprintf("at least %d for %d unknowns", need, len(f.unknowns))}}}
	}
	return f, nil
}

func fitProblem(l *gaugelog.Log, key, read, want string) error {
	return &scenario.InputError{Problems: []scenario.Problem{{File: l.Name, Line: l.HeaderLine, Key: key, Read: read, Want: want}}}
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
	// rounds is how often the gauges are weighed anew by what they miss.
	rounds = 4
	// leastVariance is a share of the scatter of a gauge below which nothing is gained.
	leastVariance = 1e-4
)

// Solve finds the unknowns.
func (f *Fit) Solve(ctx context.Context, progress batch.Progress) (*Result, error) {
	found, err := f.scan(ctx)
	if err != nil {
		return nil, err
	}
	noise := make([]float64, len(f.d.gauges))
	for g := range noise {
		noise[g] = f.d.log.Columns[f.d.gauges[g].column].Noise
	}
	problem := leastsquares.Problem{
		Start: make([]float64, len(f.unknowns)), Step: searchStep, Pull: searchPull, Least: leastVariance, Near: searchNear,
		Watch: func(int) { progress.Tell(0, 1) },
	}
	for _, u := range f.unknowns {
		problem.Low = append(problem.Low, u.scaled(u.low))
		problem.High = append(problem.High, u.scaled(u.high))
	}
	var best *leastsquares.Fit
	var deviations []float64
	from := problem.Start
	for range rounds {
		byFoot, err := f.byFoot(ctx, from)
		if err != nil {
			return nil, err
		}
		deviations = f.deviations(noise, byFoot)
		weights := deviations
		problem.Residuals = func(ctx context.Context, x []float64) ([]float64, error) { return f.residuals(ctx, x, weights) }
		problem.From = from
		best, err = leastsquares.Solve(ctx, problem)
		if err != nil {
			return nil, err
		}
		moved := 0.0
		for j := range from {
			moved = max(moved, math.Abs(best.X[j]-from[j]))
		}
		from = best.X
		const little = 0.05
		again := byFoot != nil && moved > little
		if len(noise) > 1 && f.weighAnew(best, noise) {
			again = true
		}
		if !again {
			break
		}
	}
	r := &Result{title: f.s.Title, fit: f, Converged: best.Converged, Steps: best.Steps}
	if err := f.finish(ctx, r, best, deviations); err != nil {
		return nil, err
	}
	r.judge(best, found)
	return r, nil
}

// scan looks for a leak to begin with where the scenario has none, over all sizes.
func (f *Fit) scan(ctx context.Context) (found []bool, err error) {
	found = make([]bool, len(f.unknowns))
	noise := make([]float64, len(f.d.gauges))
	for g := range noise {
		noise[g] = f.d.log.Columns[f.d.gauges[g].column].Noise
	}
	for j := range f.unknowns {
		u := &f.unknowns[j]
		if u.Fault == "" || u.Fault.Measure() != sim.FaultByArea {
			continue
		}
		found[j] = true
		even := f.deviations(noise, nil)
		sums := make([]float64, leakTries)
		areas := make([]float64, leakTries)
		_, err := batch.ForEach(ctx, leakTries, nil, func(ctx context.Context, i int) error {
			areas[i] = leastLeak * portable.Pow(mostLeak/leastLeak, float64(i)/(leakTries-1))
			x := make([]float64, len(f.unknowns))
			x[j] = u.scaled(areas[i])
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
			return nil, err
		}
		best := 0
		for i := range sums {
			if sums[i] < sums[best] {
				best = i
			}
		}
		u.start = areas[best]
	}
	return found, nil
}

// values are the unknowns in SI.
func (f *Fit) values(x []float64) []float64 {
	out := make([]float64, len(x))
	for j := range x {
		out[j] = f.unknowns[j].value(x[j])
	}
	return out
}

// played is a car at some values of the unknowns, driven by the log.
type played struct {
	car     sim.Config
	track   *sim.Trajectory
	offsets map[si.Dimension]float64
}

func (f *Fit) play(ctx context.Context, x []float64, by foot) (*played, error) {
	values := f.values(x)
	asked := make([]scenario.Unknown, len(f.unknowns))
	start := f.d.start
	p := &played{offsets: map[si.Dimension]float64{}}
	for j, u := range f.unknowns {
		asked[j] = u.Unknown
		switch u.Name {
		case StartVacuum:
			start = si.Vacuum(values[j])
		case scenario.VacuumOffset, scenario.LineOffset:
			p.offsets[u.Dim] = values[j]
		}
	}
	s, err := f.s.WithUnknowns(asked, values)
	if err != nil {
		return nil, err
	}
	p.car = s.Config
	p.track, err = f.d.run(ctx, s.Config, start, by)
	return p, err
}

// finish runs the best car once more and takes down what each gauge misses.
func (f *Fit) finish(ctx context.Context, r *Result, best *leastsquares.Fit, deviations []float64) error {
	p, err := f.play(ctx, best.X, foot{})
	if err != nil {
		return err
	}
	r.car, r.track, r.offsets = p.car, p.track, p.offsets
	misses := f.misses(p)
	gauges := len(f.d.gauges)
	r.misses = make([][]float64, gauges)
	over := make([][]float64, gauges)
	for i, m := range misses {
		r.misses[i%gauges] = append(r.misses[i%gauges], m)
		over[i%gauges] = append(over[i%gauges], m/deviations[i])
	}
	for g := range f.d.gauges {
		r.Gauges = append(r.Gauges, f.gaugeFit(g, r.misses[g], over[g]))
	}
	return nil
}
