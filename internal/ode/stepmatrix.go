package ode

import "math"

// smallestPivot is the share of its own diagonal entry below which a pivot counts
// as zero: what is left is rounding.
const smallestPivot = 1e-13

// stepMatrix is shift*I - J and its factors.
type stepMatrix struct {
	plan *elimination
	vals []float64 // factors; the diagonal holds reciprocals
	size []float64 // magnitude of each diagonal entry before the decomposition, in pivot order
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
	vals := m.vals
	clear(vals)
	slot := m.plan.slot[:len(jac)]
	for e, v := range jac {
		vals[slot[e]] = -v
	}
	diag := vals[:len(m.size)]
	for k := range diag {
		d := diag[k] + shift
		diag[k] = d
		m.size[k] = max(math.Abs(d), math.Abs(shift))
	}

	target := m.plan.target
	pivots := m.plan.pivots
	for k := range pivots {
		pv := &pivots[k]
		d := vals[k]
		if !(math.Abs(d) > smallestPivot*m.size[k]) || math.IsInf(d, 0) {
			return false
		}
		d = 1 / d
		vals[k] = d
		lower := vals[pv.lower:pv.upper]
		upper := vals[pv.upper:pv.end]
		for i, l := range lower {
			l *= d
			lower[i] = l
			to := target[:len(upper)]
			target = target[len(upper):]
			for j, u := range upper {
				vals[to[j]] -= l * u
			}
		}
	}
	return true
}

// solve replaces b by the solution x of (shift*I - J) x = b.
func (m *stepMatrix) solve(b []float64) {
	vals := m.vals
	index := m.plan.index[:len(vals)]
	pivots := m.plan.pivots
	for k := range pivots {
		pv := &pivots[k]
		if pv.lower == pv.upper {
			continue
		}
		x := b[pv.row]
		rows := index[pv.lower:pv.upper]
		for i, l := range vals[pv.lower:pv.upper] {
			b[rows[i]] -= l * x
		}
	}
	for k := len(pivots) - 1; k >= 0; k-- {
		pv := &pivots[k]
		x := b[pv.row]
		cols := index[pv.upper:pv.end]
		for j, u := range vals[pv.upper:pv.end] {
			x -= u * b[cols[j]]
		}
		b[pv.row] = x * vals[k]
	}
}
