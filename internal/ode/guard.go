package ode

import (
	"fmt"
	"math"

	"kneepoint/internal/portable"
)

// chatterMost is the number of hits in a row the time may stand still for.
const chatterMost = 64

// Guard watches a function of time and state for a change of sign. The step in
// which the sign changes is cut there, Hit is called, and the solver starts anew
// from the state Hit leaves.
//
// A guard fires when its value was strictly on one side at the start of a step and
// is zero or on the other side at its end. A guard that starts at zero, or stays
// there, does not fire before it has been off zero; a value that leaves and returns
// within one step goes unseen. The sides are read afresh after every hit, so a
// jump made by Hit fires nothing.
type Guard struct {
	Name    string                               // for messages
	Value   func(t float64, y []float64) float64 // continuous within a step; must not change y
	Rising  bool                                 // fire when going from below zero to zero or above
	Falling bool                                 // fire when going from above zero to zero or below
	Hit     func(t float64, y []float64)         // may change y in place and the system's mode; nil: only land on the crossing
}

func (g Guard) check() error {
	if g.Value == nil {
		return fmt.Errorf("ode: guard %q has no value function", g.Name)
	}
	if !g.Rising && !g.Falling {
		return fmt.Errorf("ode: guard %q neither rises nor falls", g.Name)
	}
	return nil
}

// crosses tells whether going from before to after fires the guard.
func (g *Guard) crosses(before, after float64) bool {
	return g.Rising && before < 0 && after >= 0 || g.Falling && before > 0 && after <= 0
}

// readGuards writes the guards' values at (t, y) to values.
func (s *Solver) readGuards(t float64, y, values []float64) error {
	for i := range s.guards {
		g := &s.guards[i]
		v := g.Value(t, y)
		if v-v != 0 {
			return s.fail(t-s.t, fmt.Sprintf("guard %q is %g", g.Name, v), ErrNonFinite)
		}
		values[i] = v
	}
	return nil
}

// watch looks for guards that fire in the step just taken. It cuts the step where
// the earliest does and lists all that have fired up to there.
func (s *Solver) watch() error {
	st := &s.step
	if err := s.readGuards(st.T1, st.Y1, s.sidesNew); err != nil {
		return err
	}
	first, theta := -1, math.Inf(1)
	for i := range s.guards {
		if g := &s.guards[i]; g.crosses(s.sides[i], s.sidesNew[i]) {
			if th := s.locate(g, s.sides[i], s.sidesNew[i]); th < theta {
				first, theta = i, th
			}
		}
	}
	if first >= 0 {
		if t := max(st.T0+theta*(st.T1-st.T0), st.T0+ulp(st.T0)); t < st.T1 {
			st.cut(theta, t)
			if err := s.readGuards(st.T1, st.Y1, s.sidesNew); err != nil {
				return err
			}
		}
		for i := range s.guards {
			if i == first || s.guards[i].crosses(s.sides[i], s.sidesNew[i]) {
				st.Fired = append(st.Fired, i)
			}
		}
	}
	s.sides, s.sidesNew = s.sidesNew, s.sides
	return nil
}

// locate returns the share of the step after which a guard, going from before to
// after over all of it, has crossed zero, to rounding. It is the ITP method (I. F.
// D. Oliveira, R. H. C. Takahashi, ACM Trans. Math. Softw. 47, 2020): regula falsi,
// truncated and projected so that it never needs more than one evaluation beyond
// bisection.
func (s *Solver) locate(g *Guard, before, after float64) float64 {
	st := &s.step
	st.form()
	h := st.T1 - st.T0
	eps := max(1e-13, ulp(st.T1)/h)
	sign := math.Copysign(1, after-before)
	lo, hi := 0.0, 1.0
	fLo, fHi := sign*before, sign*after
	for reach := math.Exp2(math.Ceil(portable.Log2(0.5/eps)) + 1); hi-lo > 2*eps; reach /= 2 {
		width := hi - lo
		middle := lo + width/2
		x := (fHi*lo - fLo*hi) / (fHi - fLo)
		if !(x >= lo && x <= hi) {
			x = middle
		}
		toMiddle := math.Copysign(1, middle-x)
		if shift := 0.2 * width * width; shift <= math.Abs(middle-x) {
			x += toMiddle * shift
		} else {
			x = middle
		}
		if radius := eps*reach - width/2; math.Abs(x-middle) > radius {
			x = middle - toMiddle*radius
		}
		st.at(x, s.arg)
		if f := sign * g.Value(st.T0+x*h, s.arg); f >= 0 {
			hi, fHi = x, f
		} else {
			lo, fLo = x, f
		}
	}
	return hi
}

// hit lets the guards that fired at the present state act on it.
func (s *Solver) hit() error {
	for _, i := range s.step.Fired {
		s.stats.Guards++
		if g := &s.guards[i]; g.Hit != nil {
			g.Hit(s.t, s.y)
		}
	}
	if s.t-s.lastHit > 64*ulp(s.t) {
		s.chatter = 0
	}
	s.lastHit = s.t
	if s.chatter++; s.chatter > chatterMost {
		name := s.guards[s.step.Fired[0]].Name
		return s.fail(s.step.T1-s.step.T0, fmt.Sprintf("guard %q fires without end", name), ErrChatter)
	}
	return nil
}
