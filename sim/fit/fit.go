package fit

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"kneepoint/internal/leastsquares"
	"kneepoint/sim"
	"kneepoint/sim/batch"
	"kneepoint/sim/gaugelog"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A Fitting is a log that is ready to be fitted: the car, the unknowns and what drives
// the model.
type Fitting struct {
	s        *scenario.Scenario
	d        *drive
	unknowns []unknown
	played   recent
	why      string // the usual unknowns were taken; empty if others were asked for
}

// NewFitting puts a log and a scenario together. What does not go together is a
// *scenario.InputError.
func NewFitting(s *scenario.Scenario, l *gaugelog.Log) (*Fitting, error) {
	d, err := newDrive(s, l)
	if err != nil {
		return nil, err
	}
	f := &Fitting{s: s, d: d}
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

// A Fitted is one unknown with what the log says of it, in SI. What does not exist is NaN.
type Fitted struct {
	Name            string
	Dim             si.Dimension
	Start, Estimate float64
	// Error is the standard error, Low to High the 95 % range; they do not exist where
	// the log does not fix the unknown, or a limit does.
	Error, Low, High float64
	// Asked says that it was asked for, or is among the usual ones; the vacuum at the
	// start never is.
	Asked bool
	// AtLimit says that the search ended at a limit of what the model takes.
	AtLimit bool
	// Silent says that the log has nothing to say about it; Blurred, that it has, but
	// together with others only.
	Silent, Blurred bool
	// AtMost is, for a leak that does not show, the largest that could hide in the scatter
	// in 95 logs of 100; NaN otherwise.
	AtMost float64
	// error is on the scale of the search.
	error float64
	found bool // the search began at a leak that the scenario has not
}

// A Blur is a set of unknowns of which the log shows only a combination.
type Blur struct {
	Unknowns []string
	// Shows is "ratio", "product", or "combination".
	Shows string
	// Value is the ratio or product of two in SI, NaN otherwise; Error its standard error
	// with the second one held.
	Value, Error float64
	// pair are the two.
	pair [2]*Fitted
}

// A FitResult is what a log says about a car.
type FitResult struct {
	Unknowns []Fitted
	// Correlation is that of the errors, in the order of the unknowns; NaN where none.
	Correlation *mat.SymDense
	Blurs       []Blur
	Gauges      []GaugeFit
	Converged   bool
	Steps       int

	title   string
	fitting *Fitting
	car     sim.Config
	track   *sim.Trajectory
	offsets map[si.Dimension]float64
	misses  [][]float64 // model less log, by gauge, in SI
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
	// fixedWithin is the standard error, on that scale, up to which a log fixes an unknown:
	// a factor of 2 to either side in the 95 % range (estimate).
	fixedWithin = 0.35
	// rounds is how often the gauges are weighed anew by what they miss.
	rounds = 4
	// leastVariance is a share of the scatter of a gauge below which nothing is gained.
	leastVariance = 1e-4
)

// Solve finds the unknowns.
func (f *Fitting) Solve(ctx context.Context, progress batch.Progress) (*FitResult, error) {
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
	r := &FitResult{title: f.s.Title, fitting: f, Converged: best.Converged, Steps: best.Steps}
	if err := f.finish(ctx, r, best, deviations); err != nil {
		return nil, err
	}
	r.judge(best, found)
	return r, nil
}

// scan looks for a leak to begin with where the scenario has none, over all sizes.
func (f *Fitting) scan(ctx context.Context) (found []bool, err error) {
	found = make([]bool, len(f.unknowns))
	noise := make([]float64, len(f.d.gauges))
	for g := range noise {
		noise[g] = f.d.log.Columns[f.d.gauges[g].column].Noise
	}
	for j := range f.unknowns {
		u := &f.unknowns[j]
		if u.Fault == "" || u.Fault.Measure() != sim.ByArea {
			continue
		}
		found[j] = true
		even := f.deviations(noise, nil)
		sums := make([]float64, leakTries)
		areas := make([]float64, leakTries)
		_, err := batch.ForEach(ctx, leakTries, nil, func(ctx context.Context, i int) error {
			areas[i] = leastLeak * math.Pow(mostLeak/leastLeak, float64(i)/(leakTries-1))
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
func (f *Fitting) values(x []float64) []float64 {
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

func (f *Fitting) play(ctx context.Context, x []float64, by foot) (*played, error) {
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
func (f *Fitting) finish(ctx context.Context, r *FitResult, best *leastsquares.Fit, deviations []float64) error {
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

// judge says how well each unknown is fixed.
func (r *FitResult) judge(best *leastsquares.Fit, found []bool) {
	p := best.Precision()
	n := len(best.X)
	quantile := math.NaN()
	if p.Freedom > 0 {
		quantile = distuv.StudentsT{Sigma: 1, Nu: float64(p.Freedom)}.Quantile(0.975)
	}
	none := math.NaN()
	r.Correlation = mat.NewSymDense(n, nil)
	for j, x := range best.X {
		u := &r.fitting.unknowns[j]
		v := Fitted{
			Name: u.Name, Dim: u.Dim, Start: u.start, Estimate: u.value(x), Asked: u.asked, found: found[j],
			Error: none, Low: none, High: none, AtMost: none, error: p.Error[j],
		}
		const edge = 1e-6
		v.AtLimit = x <= u.scaled(max(u.low, math.SmallestNonzeroFloat64))+edge || x >= u.scaled(u.high)-edge
		switch {
		case v.AtLimit:
		case p.Alone[j] > fixedWithin:
			v.Silent = true
			// What a small leak does is in proportion to it, so that its error is, too.
			if u.isLeak() && !math.IsInf(p.Error[j], 1) {
				v.AtMost = v.Estimate * (1 + quantile*p.Error[j])
			}
		case p.Error[j] > fixedWithin:
			v.Blurred = true
		default:
			v.Error = math.Abs(u.slope(x)) * p.Error[j]
			v.Low, v.High = u.value(x-quantile*p.Error[j]), u.value(x+quantile*p.Error[j])
		}
		r.Unknowns = append(r.Unknowns, v)
	}
	for i := range n {
		for j := range i + 1 {
			c := p.Correlation.At(i, j)
			if r.Unknowns[i].AtLimit || r.Unknowns[j].AtLimit || r.Unknowns[i].Silent || r.Unknowns[j].Silent || math.IsInf(c, 0) {
				c = none
			}
			r.Correlation.SetSym(i, j, c)
		}
	}
	r.blurs(p)
}

// blurs finds the combinations of unknowns that the log does not tell apart: the
// directions, by the singular values, along which it fixes nothing.
func (r *FitResult) blurs(p leastsquares.Precision) {
	const part = 0.25 // share of a direction from which an unknown belongs to it
	for d, along := range p.Along {
		if along <= fixedWithin {
			continue
		}
		var members []int
		for j := range r.Unknowns {
			if r.Unknowns[j].Blurred && math.Abs(p.Directions.At(j, d)) > part {
				members = append(members, j)
			}
		}
		if len(members) < 2 {
			continue
		}
		b := Blur{Shows: "combination", Value: math.NaN(), Error: math.NaN()}
		for _, j := range members {
			b.Unknowns = append(b.Unknowns, r.Unknowns[j].Name)
		}
		if len(members) == 2 {
			r.pair(&b, members[0], members[1], p.Directions.At(members[0], d), p.Directions.At(members[1], d), p)
		}
		r.Blurs = append(r.Blurs, b)
	}
}

// pair says what of two unknowns shows: their ratio where both can grow together,
// their product where one can grow as the other shrinks.
func (r *FitResult) pair(b *Blur, i, j int, vi, vj float64, p leastsquares.Precision) {
	a, c := &r.fitting.unknowns[i], &r.fitting.unknowns[j]
	const even = 0.25
	if a.linear > 0 || c.linear > 0 || math.Abs(math.Abs(vi/vj)-1) > even {
		return
	}
	x, y := r.Unknowns[i].Estimate, r.Unknowns[j].Estimate
	b.Shows, b.Value = "ratio", x/y
	if vi*vj < 0 {
		b.Shows, b.Value = "product", x*y
	}
	b.pair = [2]*Fitted{&r.Unknowns[i], &r.Unknowns[j]}
	// What is left of the first one's error if the second is known.
	held := p.Error[i] * math.Sqrt(1-p.Correlation.At(i, j)*p.Correlation.At(i, j))
	if math.IsInf(p.Error[i], 1) || math.IsNaN(held) {
		held = p.Alone[i]
	}
	b.Error = b.Value * held
}
