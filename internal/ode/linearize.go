package ode

import "fmt"

// begin evaluates everything at a state the solver has not stepped to itself.
func (s *Solver) begin() error {
	for i, v := range s.y {
		if v-v != 0 {
			return s.fail(0, fmt.Sprintf("state %d is %g", i, v), ErrNonFinite)
		}
	}
	s.linearize()
	if err := s.finite(); err != nil {
		return err
	}
	s.logBefore = logSmallestError
	return s.readGuards(s.t, s.y, s.sides)
}

// linearize evaluates rates, Jacobian and time derivative at (t, y). Whether they are
// finite shows in the next step: a number that is not spoils the decomposition or the
// new state, and finite is asked only then.
func (s *Solver) linearize() {
	s.sys.Rates(s.t, s.y, s.f)
	s.stats.Rates++
	clear(s.jac)
	clear(s.dfdt)
	s.sys.Jacobian(s.t, s.y, s.jac, s.dfdt)
	s.stats.Jacobians++
}

// finite is an error if what linearize found is not finite.
func (s *Solver) finite() error {
	sum := 0.0
	for _, list := range [][]float64{s.f, s.dfdt, s.jac} {
		for _, v := range list {
			sum += v - v
		}
	}
	if sum != 0 {
		return s.fail(0, s.nonFinite(), ErrNonFinite)
	}
	return nil
}

// nonFinite names the first number that is not finite.
func (s *Solver) nonFinite() string {
	for i, v := range s.f {
		if v-v != 0 {
			return fmt.Sprintf("rate of state %d is %g", i, v)
		}
	}
	for i, v := range s.dfdt {
		if v-v != 0 {
			return fmt.Sprintf("time derivative of rate %d is %g", i, v)
		}
	}
	for e, v := range s.jac {
		if v-v != 0 {
			rc := s.pattern.entries[e]
			return fmt.Sprintf("Jacobian entry (%d, %d) is %g", rc[0], rc[1], v)
		}
	}
	return ErrNonFinite.Error()
}
