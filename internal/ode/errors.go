package ode

import (
	"errors"
	"fmt"
	"slices"
)

// Reasons for which a solver gives up; a [StepError] wraps one of them, or the
// error of a context that is done.
var (
	ErrStepTooSmall = errors.New("step size too small")
	ErrTooManySteps = errors.New("too many steps")
	ErrNonFinite    = errors.New("non-finite state or rates")
	ErrSingular     = errors.New("singular step matrix")
	ErrChatter      = errors.New("guard fires without end")
)

// StepError says where the solver gave up and why. The solver itself stays at the
// last state it accepted.
type StepError struct {
	T      float64   // time of the last accepted state
	H      float64   // size of the step that failed
	Y      []float64 // last accepted state, a copy
	Reason string
	cause  error
}

// Error is one line.
func (e *StepError) Error() string {
	return fmt.Sprintf("ode: %s at t = %.9g, step %.3g", e.Reason, e.T, e.H)
}

// Unwrap gives one of the reasons above, or the error of the context.
func (e *StepError) Unwrap() error { return e.cause }

// fail makes the error of a step of size h that failed at the present state.
func (s *Solver) fail(h float64, reason string, cause error) error {
	return &StepError{T: s.t, H: h, Y: slices.Clone(s.y), Reason: reason, cause: cause}
}
