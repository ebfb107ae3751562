package ode

import (
	"math"

	"kneepoint/internal/portable"
)

// Step size control: proportional-integral, as for the method's kin in Hairer and
// Wanner, section IV.2. The quotient of two step sizes is
//
//	0.9 * err^(-1/4 + 0.75 beta) * errPrevious^beta
//
// kept between 0.2 and 6. A step refused is tried again with 0.8 instead of 0.9: at a
// corner the error falls with a lower power of the step.
const (
	safety     = 0.9
	safeAgain  = 0.8
	shrinkMost = 0.2
	growMost   = 6
	piBeta     = 0.04
	piExponent = 0.25 - 0.75*piBeta

	// An error below this says nothing about the next step.
	smallestError = 1e-4
	// The first step after a break takes at most this share of the way to the next
	// one: the size kept was found for another stretch.
	breakShare = 0.1
	// Nor is it more than so many times what the curvature there suggests, which alone is
	// timid.
	breakCurves = 4
	// A step that ends this close to the end time, as a share of itself, goes there.
	landing = 1e-4
	// Factor on a step that met a number that is not finite.
	shrinkBroken = 0.1
)

// growth is the factor for the step after one accepted with error err, log the
// logarithm of the error accepted before.
func growth(err, logBefore float64) (factor, log float64) {
	// A tiny error would only overflow the quotient, which is limited anyway.
	l := portable.Log(math.Max(err, 1e-12))
	factor = safety * portable.Exp(piBeta*logBefore-piExponent*l)
	return min(max(factor, shrinkMost), growMost), max(l, logSmallestError)
}

// shrinkage is the factor for another try after a step refused with error err.
func shrinkage(err float64) float64 {
	return min(max(safeAgain*portable.Pow(err, -piExponent), shrinkMost), safeAgain)
}

var logSmallestError = portable.Log(smallestError)

// fit adapts a step of size h to the way that is left: all of it if the step gets
// there or nearly so, half of it if two steps would.
func fit(h, way float64) (size float64, last bool) {
	switch {
	case h*(1+landing) >= way:
		return way, true
	case 2*h > way:
		return way / 2, false
	}
	return h, false
}

// startingStep estimates a first step at (t, y) from the curvature of the solution,
// J f + df/dt: the second-order term of the Taylor series takes up the
// tolerance, which a method of order 4 keeps with ease.
func (s *Solver) startingStep(way float64) float64 {
	curve := s.arg
	copy(curve, s.dfdt)
	for e, rc := range s.pattern.entries {
		curve[rc[0]] += s.jac[e] * s.f[rc[1]]
	}
	sum := 0.0
	for i, v := range curve {
		q := v / (s.tol.Abs[i] + s.tol.Rel*math.Abs(s.y[i]))
		sum += q * q
	}
	norm := math.Sqrt(sum / float64(len(curve)))
	h := way * breakShare
	if !(norm > 0) {
		return h
	}
	return max(min(h, math.Sqrt(2/norm)), s.smallest())
}

// smallest is the smallest step worth taking from the present time, except onto an
// end: what was asked for, and what the clock resolves. Near time 0 the clock is
// finer than the reciprocals of its steps can bear.
func (s *Solver) smallest() float64 { return max(s.minStep, 16*ulp(s.t), 1e-100) }

// ulp is the distance from |t| to the next number.
func ulp(t float64) float64 {
	t = math.Abs(t)
	return math.Nextafter(t, math.Inf(1)) - t
}
