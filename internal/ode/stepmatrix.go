package ode

import "math"

// smallestPivot is the share of its own diagonal entry below which a pivot counts
// as zero: what is left is rounding.
const smallestPivot = 1e-13

// stepMatrix is shift*I - J and its factors: L with ones on its diagonal, the
// reciprocals of the pivots, and U.
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
	n := len(m.size)
	clear(vals)
	slot := plan.slot[:len(jac)]
	for e, v := range jac {
		vals[slot[e]] = -v
	}
	diag := vals[:n]
	for k, d := range diag {
		d += shift
		diag[k] = d
		m.size[k] = max(math.Abs(d), math.Abs(shift))
	}

	target := plan.target
	for k := range plan.rows {
		r := &plan.rows[k]
		lower := vals[r.lower:r.upper]
		for i, j := range plan.column[int(r.lower)-n : int(r.upper)-n] {
			l := lower[i] * vals[j]
			lower[i] = l
			above := &plan.rows[plan.place[j]]
			upper := vals[above.upper:above.end]
			to := target[:len(upper)]
			target = target[len(upper):]
			for u, v := range upper {
				vals[to[u]] -= l * v
			}
		}
		d := vals[r.index]
		if !(math.Abs(d) > smallestPivot*m.size[r.index]) || math.IsInf(d, 0) {
			return false
		}
		vals[r.index] = 1 / d
	}
	return true
}

// solve replaces b, of which the first components count, by the solution x of
// (shift*I - J) x = b.
func (m *stepMatrix) solve(b *vector) {
	vals, rows, n := m.vals, m.plan.rows, len(m.size)
	column := m.plan.column
	for k := range rows {
		r := &rows[k]
		if r.lower == r.upper {
			continue
		}
		x := b[r.index]
		cols := column[int(r.lower)-n : int(r.upper)-n]
		for i, l := range vals[r.lower:r.upper] {
			x -= l * b[cols[i]]
		}
		b[r.index] = x
	}
	for k := len(rows) - 1; k >= 0; k-- {
		r := &rows[k]
		x := b[r.index]
		cols := column[int(r.upper)-n : int(r.end)-n]
		for i, u := range vals[r.upper:r.end] {
			x -= u * b[cols[i]]
		}
		b[r.index] = x * vals[r.index]
	}
}

// MostStates is the greatest size of a system. Within it an index is one byte, which
// makes a solution's inner loops small and free of bounds checks.
const MostStates = 256

// vector is a state vector with room for MostStates.
type vector [MostStates]float64
