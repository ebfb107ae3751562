package leastsquares

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"
)

// A Problem is a model with unknowns and what it misses the data by. The unknowns
// should be scaled so that a change of 1 is a large one.
type Problem struct {
	// Residuals returns what the model with the unknowns x misses each datum by, over
	// the standard deviation of the datum. An error says that x is impossible; it is
	// the error of Fit only if it comes at the start. It is called from several goroutines.
	Residuals func(ctx context.Context, x []float64) ([]float64, error)
	Start     []float64
	// From is where the search begins; nil is at the start.
	From []float64
	// Low and High are the limits of each unknown; nil is none.
	Low, High []float64
	// Step is the half width of the central differences.
	Step float64
	// Pull is the standard deviation of a weak pull of every unknown towards its start,
	// which keeps one that the data do not fix from wandering off; zero is none.
	Pull float64
	// Least is a variance of the residuals below which nothing is worth gaining; with
	// data that a model meets exactly there is no other end.
	Least float64
	// Near is how close to the minimum is close enough, in standard errors; 0 is a
	// thousandth. A model that is not smooth to that cannot be brought closer.
	Near float64
	// Watch is called after every step with the number of steps so far; it may be nil.
	Watch func(steps int)
}

// A Fit is the best set of unknowns.
type Fit struct {
	X []float64
	// Residuals and Jacobian are those at X, without the pull: one row a datum.
	Residuals []float64
	Jacobian  *mat.Dense
	// Sum is the sum of the squares of the residuals.
	Sum float64
	// Converged says that X lies within a few times Near of the minimum.
	Converged bool
	Steps     int
}

const (
	// usualNear is Near unless it is given, and farther is how many times that is still
	// called converged where the search finds no better.
	usualNear = 1e-3
	farther   = 4
	mostSteps = 60
	// leastShare is the shortest share of a step that is tried before giving up.
	leastShare = 1e-5
)

// Solve finds the unknowns. When the context ends its cause is the error.
func Solve(ctx context.Context, p Problem) (*Fit, error) {
	s := &solver{ctx: ctx, p: &p}
	start := s.clamp(p.Start)
	if p.From != nil {
		start = s.clamp(p.From)
	}
	first := s.at(start)
	if s.failed != nil {
		return nil, s.failed
	}
	if first.err != nil {
		return nil, first.err
	}
	if len(first.residuals) < len(start) {
		return nil, fmt.Errorf("%d readings cannot give %d unknowns", len(first.residuals), len(start))
	}
	problem := optimize.Problem{
		Func:   s.value,
		Grad:   s.gradient,
		Hess:   s.hessian,
		Status: func() (optimize.Status, error) { return optimize.NotTerminated, s.failed },
	}
	settings := &optimize.Settings{MajorIterations: mostSteps, Converger: s}
	method := &optimize.Newton{
		// Armijo's condition alone: the bounds make a corner in which no step has a slope
		// that Wolfe's would take.
		Linesearcher:      &optimize.Backtracking{MinimumStepSize: leastShare},
		GradStopThreshold: math.NaN(),
	}
	_, err := optimize.Minimize(problem, start, settings, method)
	switch {
	case s.failed != nil:
		return nil, s.failed
	case err == nil, s.best != nil && isStuck(err):
		// A line search that finds nothing better may well stand at the minimum: what is
		// left to gain tells.
	default:
		return nil, err
	}
	best := s.at(s.best)
	s.slope(best)
	if s.failed != nil {
		return nil, s.failed
	}
	left, ok := s.toGain(best)
	return &Fit{
		X: s.clamp(s.best), Residuals: best.residuals, Jacobian: best.jacobian, Sum: best.sum,
		Converged: ok && left < farther*farther*s.enough(), Steps: s.steps,
	}, nil
}

func isStuck(err error) bool {
	return errors.Is(err, optimize.ErrLinesearcherFailure) || errors.Is(err, optimize.ErrNoProgress) ||
		errors.Is(err, optimize.ErrNonDescentDirection)
}

// solver is one search: the functions that gonum calls, all about the same points.
type solver struct {
	ctx    context.Context
	p      *Problem
	points []*point
	best   []float64
	steps  int
	failed error
}

// point is what is known of the model at one x.
type point struct {
	x         []float64
	residuals []float64
	sum       float64
	err       error
	jacobian  *mat.Dense
}

// remembered is how many points are kept: the present one, and those of a line search.
const remembered = 4

// at evaluates the model.
func (s *solver) at(x []float64) *point {
	for _, known := range s.points {
		if slices.Equal(known.x, x) {
			return known
		}
	}
	p := &point{x: slices.Clone(x)}
	p.residuals, p.err = s.residuals(x)
	for _, r := range p.residuals {
		p.sum += r * r
	}
	if p.err == nil && (math.IsNaN(p.sum) || math.IsInf(p.sum, 0)) {
		p.err = errors.New("the model gives no number")
	}
	if s.points = append(s.points, p); len(s.points) > remembered {
		s.points = s.points[1:]
	}
	return p
}

func (s *solver) residuals(x []float64) ([]float64, error) {
	r, err := s.p.Residuals(s.ctx, s.clamp(x))
	if s.ctx.Err() != nil {
		s.failed = context.Cause(s.ctx)
	}
	return r, err
}

// clamp moves unknowns beyond their limits onto them: the model does not change there,
// so that the others are found as if the limit held.
func (s *solver) clamp(x []float64) []float64 {
	out := slices.Clone(x)
	for j := range out {
		if s.p.Low != nil {
			out[j] = max(out[j], s.p.Low[j])
		}
		if s.p.High != nil {
			out[j] = min(out[j], s.p.High[j])
		}
	}
	return out
}

// pull is the weight of the pull towards the start.
func (s *solver) pull() float64 {
	if s.p.Pull == 0 {
		return 0
	}
	return 1 / (s.p.Pull * s.p.Pull)
}

func (s *solver) value(x []float64) float64 {
	if s.failed != nil {
		return math.NaN()
	}
	p := s.at(x)
	if p.err != nil {
		return math.Inf(1)
	}
	f := p.sum
	for j := range x {
		d := x[j] - s.p.Start[j]
		f += s.pull() * d * d
	}
	return f / 2
}

func (s *solver) gradient(grad, x []float64) {
	p := s.at(x)
	s.slope(p)
	g := mat.NewVecDense(len(x), grad)
	g.MulVec(p.jacobian.T(), mat.NewVecDense(len(p.residuals), p.residuals))
	for j := range x {
		grad[j] += s.pull() * (x[j] - s.p.Start[j])
	}
}

func (s *solver) hessian(h *mat.SymDense, x []float64) {
	p := s.at(x)
	s.slope(p)
	h.SymOuterK(1, p.jacobian.T())
	for j := range x {
		h.SetSym(j, j, h.At(j, j)+s.pull())
		if h.At(j, j) == 0 {
			h.SetSym(j, j, 1) // nothing depends on it, nor does its gradient
		}
	}
}

// toGain is what the quadratic about a point says is left to gain down to the
// minimum, over the variance of one datum. That is half the square of the distance
// in standard errors.
func (s *solver) toGain(p *point) (gain float64, ok bool) {
	n, k := len(p.residuals), len(p.x)
	if n <= k {
		return 0, true
	}
	grad, step := make([]float64, k), mat.NewVecDense(k, nil)
	s.gradient(grad, p.x)
	h := mat.NewSymDense(k, nil)
	s.hessian(h, p.x)
	var c mat.Cholesky
	if !c.Factorize(h) || c.SolveVecTo(step, mat.NewVecDense(k, grad)) != nil {
		return math.Inf(1), false
	}
	gain = mat.Dot(step, mat.NewVecDense(k, grad)) / 2
	variance := max(p.sum/float64(n-k), s.p.Least)
	if variance == 0 {
		return 0, true
	}
	return gain / variance, true
}

// enough is what may be left to gain: half the square of the distance.
func (s *solver) enough() float64 {
	near := s.p.Near
	if near == 0 {
		near = usualNear
	}
	return near * near / 2
}

// Init and Converged make the solver its own judge of convergence.
func (s *solver) Init(int) {}

// Converged is told of every step that gonum has accepted.
func (s *solver) Converged(loc *optimize.Location) optimize.Status {
	s.best = slices.Clone(loc.X)
	s.steps++
	if s.p.Watch != nil {
		s.p.Watch(s.steps)
	}
	if gain, ok := s.toGain(s.at(loc.X)); ok && gain < s.enough() {
		return optimize.StepConvergence
	}
	return optimize.NotTerminated
}
