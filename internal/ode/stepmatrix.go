package ode

import "math"

// smallestPivot is the share of its own diagonal entry below which a pivot counts
// as zero: what is left is rounding.
const smallestPivot = 1e-13

// stepMatrix is shift*I - J and its factors: L with ones on its diagonal, the
// reciprocals of the pivots, and U divided by them.
type stepMatrix struct {
	plan *elimination
	vals []float64
	size []float64 // magnitude of each diagonal entry before the decomposition
}

func newStepMatrix(p *Pattern) *stepMatrix {
	plan := planElimination(p)
	return &stepMatrix{
		plan: plan,
		vals: make([]float64, plan.entries()),
		size: make([]float64, p.size),
	}
}

// factor decomposes shift*I - jac, jac in the order of the pattern. It reports
// false if a pivot vanishes or is not finite.
func (m *stepMatrix) factor(shift float64, jac []float64) bool {
	vals, plan := m.vals, m.plan
	clear(vals)
	slot := plan.slot[:len(jac)]
	for e, v := range jac {
		vals[slot[e]] = -v
	}
	diag := vals[:len(m.size)]
	for k, d := range diag {
		d += shift
		diag[k] = d
		m.size[k] = max(math.Abs(d), math.Abs(shift))
	}

	target := plan.target
	for k := range plan.pivots {
		pv := &plan.pivots[k]
		d := vals[pv.row]
		if !(math.Abs(d) > smallestPivot*m.size[pv.row]) || math.IsInf(d, 0) {
			return false
		}
		d = 1 / d
		vals[pv.row] = d
		lower, upper := vals[pv.lower:pv.lowerEnd], vals[pv.upper:pv.upperEnd]
		for i, l := range lower {
			l *= d
			lower[i] = l
			to := target[:len(upper)]
			target = target[len(upper):]
			for j, u := range upper {
				vals[to[j]] -= l * u
			}
		}
		for j := range upper {
			upper[j] *= d
		}
	}
	return true
}

// solve replaces b, of which the first components count, by the solution x of
// (shift*I - J) x = b.
func (m *stepMatrix) solve(b *vector) {
	n := len(m.size)
	lower, upper := m.vals[n:], m.vals[n+len(m.plan.forward):]
	lower, upper = lower[:len(m.plan.forward)], upper[:len(m.plan.back)]
	for i, h := range m.plan.forward {
		b[h.to] -= lower[i] * b[h.from]
	}
	for i, p := range m.vals[:n] {
		b[i&(MostStates-1)] *= p
	}
	for i, h := range m.plan.back {
		b[h.to] -= upper[i] * b[h.from]
	}
}

// MostStates is the greatest size of a system. Within it an index is one byte, which
// makes a solution's inner loops small and free of bounds checks.
const MostStates = 256

// vector is a state vector with room for MostStates.
type vector [MostStates]float64
