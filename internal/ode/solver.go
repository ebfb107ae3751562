package ode

import (
	"fmt"
	"slices"
)

// Stats counts work since [New].
type Stats struct {
	Steps          int // steps accepted
	Rejected       int // steps tried and given up
	Rates          int // calls of System.Rates
	Jacobians      int // calls of System.Jacobian
	Factorizations int // of the step matrix
	Guards         int // guards fired
}

// Solver integrates one system. It allocates in [New] and [Solver.Advance] only as
// it starts, not by the step, and is not safe for concurrent use.
type Solver struct {
	settings
	sys     System
	tol     Tolerance
	pattern *Pattern
	matrix  *stepMatrix

	t    float64
	y    []float64
	ynew []float64 // swapped with y when a step is accepted

	f, dfdt, jac           []float64 // at (t, y)
	arg                    []float64
	k1, k2, k3, k4, k5, k6 *vector

	h         float64 // size to try next; 0: to be estimated
	fresh     bool    // h does not come from a step taken
	logBefore float64 // logarithm of the error accepted last

	sides, sidesNew []float64 // values of the guards at y, and at ynew
	lastHit         float64
	chatter         int

	step  Step
	stats Stats
}

// New makes a solver at time 0 and state 0; see [Solver.Reset]. The system's
// pattern is read here and its elimination order planned.
func New(sys System, tol Tolerance, opts ...Option) (*Solver, error) {
	n := sys.Size()
	p := sys.Pattern()
	if p == nil {
		return nil, fmt.Errorf("ode: system has no pattern")
	}
	if p.size != n {
		return nil, fmt.Errorf("ode: pattern of size %d for a system of %d states", p.size, n)
	}
	if n > MostStates {
		return nil, fmt.Errorf("ode: %d states, want at most %d", n, MostStates)
	}
	if err := tol.check(n); err != nil {
		return nil, err
	}
	s := &Solver{settings: defaults(), sys: sys, pattern: p}
	s.tol = Tolerance{Rel: tol.Rel, Abs: slices.Clone(tol.Abs)}
	for _, opt := range opts {
		if err := opt(&s.settings); err != nil {
			return nil, err
		}
	}
	s.matrix = newStepMatrix(p, s.kernels)
	if s.minStep > s.maxStep {
		return nil, fmt.Errorf("ode: smallest step %g above largest step %g", s.minStep, s.maxStep)
	}
	if s.initialStep > 0 && s.initialStep < s.minStep {
		return nil, fmt.Errorf("ode: initial step %g below smallest step %g", s.initialStep, s.minStep)
	}
	s.guards = slices.Clone(s.guards)
	s.ForgetStep()

	// One block, so that a step's numbers lie close together: of the room of a vector
	// only the first n numbers are its own.
	block := make([]float64, 12*n+MostStates)
	for _, v := range []*[]float64{&s.y, &s.ynew, &s.f, &s.dfdt, &s.arg, &s.step.d0, &s.step.d1} {
		*v, block = block[:n:n], block[n:]
	}
	for _, v := range []**vector{&s.k1, &s.k2, &s.k3, &s.k4, &s.k5, &s.k6} {
		*v = (*vector)(block)
		block = block[min(n, len(block)-MostStates):]
	}
	s.jac = make([]float64, p.Len())
	s.sides = make([]float64, len(s.guards))
	s.sidesNew = make([]float64, len(s.guards))
	s.step.Fired = make([]int, 0, len(s.guards))
	s.step.solver = s
	return s, nil
}

// Reset puts the solver at (t, y); y is copied. The size of the last step is kept
// for the next one; see [Solver.ForgetStep]. It panics if y has the wrong length.
func (s *Solver) Reset(t float64, y []float64) {
	if len(y) != len(s.y) {
		panic(fmt.Sprintf("ode: reset to %d values, the system has %d states", len(y), len(s.y)))
	}
	s.t = t
	copy(s.y, y)
}

// ForgetStep drops the size of the last step: the next one is of the size given
// with [InitialStep], or else estimated.
func (s *Solver) ForgetStep() { s.h, s.fresh = s.initialStep, true }

// NextStep is the size of step that the last one suggests, 0 where there was none.
func (s *Solver) NextStep() float64 {
	if s.fresh {
		return 0
	}
	return s.h
}

// TakeUp goes on with a size of step that [Solver.NextStep] gave, after a Reset to a state
// that had its own; with 0 it does what [Solver.ForgetStep] does.
func (s *Solver) TakeUp(step float64) {
	if step == 0 {
		s.ForgetStep()
		return
	}
	s.h, s.fresh = step, false
}

// Time is the time of [Solver.State].
func (s *Solver) Time() float64 { return s.t }

// State is the last accepted state. It is the solver's own: it must not be changed,
// and changes with the next call of [Solver.Advance] or [Solver.Reset].
func (s *Solver) State() []float64 { return s.y }

// Stats counts the work done so far.
func (s *Solver) Stats() Stats { return s.stats }
