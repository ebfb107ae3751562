package ode

import (
	"fmt"
	"math"
)

// Tolerance sets the error allowed in one step. The error estimate of state i is
// divided by the weight Abs[i] + Rel*max(|y|, |ynew|), y before and ynew after the
// step; a step is kept when the root mean square of these quotients is at most 1.
type Tolerance struct {
	Rel float64   // dimensionless, not negative
	Abs []float64 // in the unit of each state, positive
}

func (tol Tolerance) check(size int) error {
	if !(tol.Rel >= 0) || math.IsInf(tol.Rel, 0) {
		return fmt.Errorf("ode: relative tolerance %g, want a finite number not below 0", tol.Rel)
	}
	if len(tol.Abs) != size {
		return fmt.Errorf("ode: %d absolute tolerances for %d states", len(tol.Abs), size)
	}
	for i, a := range tol.Abs {
		if !(a > 0) || math.IsInf(a, 0) {
			return fmt.Errorf("ode: absolute tolerance of state %d is %g, want a finite number above 0", i, a)
		}
	}
	return nil
}

// Option adjusts a solver; see [New].
type Option func(*settings) error

type settings struct {
	maxStep     float64
	minStep     float64
	initialStep float64
	maxSteps    int
	guards      []Guard
	kernels     []Kernel
}

func defaults() settings {
	return settings{maxStep: math.Inf(1), maxSteps: 100_000}
}

// MaxStep bounds the step size, in the unit of time. Without it there is no bound.
func MaxStep(h float64) Option {
	return func(s *settings) error {
		if !(h > 0) {
			return fmt.Errorf("ode: largest step %g, want more than 0", h)
		}
		s.maxStep = h
		return nil
	}
}

// MinStep is the size below which error control may not drive a step; the solver
// gives up with a [StepError] instead. Without it the bound is the resolution of
// the time itself. The last step onto an end time may be shorter.
func MinStep(h float64) Option {
	return func(s *settings) error {
		if !(h >= 0) || math.IsInf(h, 0) {
			return fmt.Errorf("ode: smallest step %g, want a finite number not below 0", h)
		}
		s.minStep = h
		return nil
	}
}

// InitialStep is the size tried first, and after [Solver.ForgetStep]. Without it
// the size is estimated from the second derivative of the solution.
func InitialStep(h float64) Option {
	return func(s *settings) error {
		if !(h > 0) || math.IsInf(h, 0) {
			return fmt.Errorf("ode: initial step %g, want a finite number above 0", h)
		}
		s.initialStep = h
		return nil
	}
}

// MaxSteps bounds the steps tried, kept or not, in one call of [Solver.Advance].
// Without it the bound is 100 000.
func MaxSteps(n int) Option {
	return func(s *settings) error {
		if n < 1 {
			return fmt.Errorf("ode: at most %d steps, want at least 1", n)
		}
		s.maxSteps = n
		return nil
	}
}

// Guards adds guards, to be watched in the order given.
func Guards(guards ...Guard) Option {
	return func(s *settings) error {
		for _, g := range guards {
			if err := g.check(); err != nil {
				return err
			}
		}
		s.guards = append(s.guards, guards...)
		return nil
	}
}

// Kernels offers kernels, of which the solver takes the one for its pattern, if there
// is one.
func Kernels(kernels ...Kernel) Option {
	return func(s *settings) error {
		s.kernels = append(s.kernels, kernels...)
		return nil
	}
}
