package ode

import (
	"context"
	"fmt"
	"math"
)

const (
	contextEvery  = 32 // steps between two looks at the context
	singularTries = 8  // halvings of a step whose matrix cannot be decomposed
	brokenTries   = 40 // shrinkings in a row of a step that is not finite
)

// Advance integrates to exactly tEnd, a break of the system: rates, Jacobian and
// time derivative are computed anew by the next call. sink, if not nil, is called
// with every accepted step; an error of it ends the call and is returned as it is.
//
// Other errors are a [*StepError], or an ordinary one if tEnd lies in the past or a
// state is not finite to begin with. After any error the solver stands at the last
// accepted state, and Advance may be called again.
func (s *Solver) Advance(ctx context.Context, tEnd float64, sink func(*Step) error) error {
	if !(tEnd >= s.t) || math.IsInf(tEnd, 0) {
		return fmt.Errorf("ode: cannot advance from t = %g to %g", s.t, tEnd)
	}
	if tEnd == s.t {
		return nil
	}
	if err := s.begin(); err != nil {
		return err
	}
	s.chatter, s.lastHit = 0, math.Inf(-1)
	if s.h == 0 {
		s.h = s.startingStep(tEnd - s.t)
	} else if !s.fresh {
		way := tEnd - s.t
		s.h = min(s.h, max(breakShare*way, s.smallest()), breakCurves*s.startingStep(way))
	}
	left := s.maxSteps
	for since := 0; s.t < tEnd; since++ {
		if since%contextEvery == 0 {
			if err := ctx.Err(); err != nil {
				return s.fail(s.h, err.Error(), err)
			}
		}
		if err := s.advanceOne(tEnd, &left, sink); err != nil {
			return err
		}
	}
	return nil
}

// advanceOne takes one step, trying until one is accepted.
func (s *Solver) advanceOne(tEnd float64, left *int, sink func(*Step) error) error {
	refused, broken := false, 0
	way := tEnd - s.t
	for {
		if *left == 0 {
			return s.fail(s.h, fmt.Sprintf("too many steps (%d)", s.maxSteps), ErrTooManySteps)
		}
		*left--
		size := min(s.h, s.maxStep)
		h, last := fit(size, way)
		tooSmall := size < s.smallest() && !last
		switch {
		case broken > 0 && (tooSmall || broken == brokenTries):
			return s.fail(h, "non-finite state or rates in every step tried", ErrNonFinite)
		case tooSmall:
			return s.fail(h, ErrStepTooSmall.Error(), ErrStepTooSmall)
		}
		h, ok := s.decompose(h, &last)
		if !ok {
			if err := s.finite(); err != nil {
				return err
			}
			return s.fail(h, ErrSingular.Error(), ErrSingular)
		}
		t1 := s.t + h
		if last {
			t1 = tEnd
		}
		err := s.stages(h, t1)
		switch {
		case err <= 1:
			factor, log := growth(err, s.logBefore)
			if refused {
				factor = min(factor, 1)
			}
			next := h * factor
			if h < s.h && factor >= 1 {
				// Cut to fit the way that was left, not by its error.
				next = max(next, s.h)
			}
			s.h, s.logBefore = min(next, s.maxStep), log
			return s.accept(h, t1, tEnd, sink)
		case err > 1 && !math.IsInf(err, 0):
			s.h = h * shrinkage(err)
			broken = 0
		default:
			if err := s.finite(); err != nil {
				return err
			}
			s.h = h * shrinkBroken
			broken++
		}
		s.stats.Rejected++
		refused = true
	}
}

// decompose factors the matrix of a step of size h, or of a smaller one if that
// one is singular. It returns the size that went through.
func (s *Solver) decompose(h float64, last *bool) (float64, bool) {
	for range singularTries {
		s.stats.Factorizations++
		if s.matrix.factor(1/(gamma*h), s.jac) {
			return h, true
		}
		h, *last = h/2, false
	}
	return h, false
}

// accept makes (t1, ynew), reached with a step of size h, the state, or the point
// before it where a guard fires.
func (s *Solver) accept(h, t1, tEnd float64, sink func(*Step) error) error {
	st := &s.step
	st.T0, st.T1, st.Y0, st.Y1 = s.t, t1, s.y, s.ynew
	st.formed, st.Fired = false, st.Fired[:0]
	if len(s.guards) > 0 {
		if err := s.watch(); err != nil {
			return err
		}
	}
	s.stats.Steps++
	s.fresh = false
	s.t = st.T1
	s.y, s.ynew = s.ynew, s.y

	var sinkErr error
	if sink != nil {
		sinkErr = sink(st)
	}
	hit := len(st.Fired) > 0
	if hit {
		s.h = min(s.h, h)
		if err := s.hit(); err != nil {
			return err
		}
	}
	switch {
	case sinkErr != nil:
		return sinkErr
	case s.t >= tEnd:
		return nil
	case hit:
		return s.begin()
	}
	s.linearize()
	return nil
}
