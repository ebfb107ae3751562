package ode

// stepMatrix is shift*I - J and its factors: L and U, both with ones on the diagonal,
// and the reciprocals of the pivots between them.
type stepMatrix struct {
	plan   *elimination
	kernel *Kernel // nil: the tables of the plan
	vals   []float64
	first  []float64 // the diagonal before the decomposition
}

func newStepMatrix(p *Pattern, kernels []Kernel) *stepMatrix {
	plan := eliminationOf(p)
	m := &stepMatrix{
		plan:  plan,
		vals:  make([]float64, plan.entries()),
		first: make([]float64, p.size),
	}
	for i := range kernels {
		if kernels[i].fits(p) {
			m.kernel = &kernels[i]
			break
		}
	}
	return m
}

// factor decomposes shift*I - jac, jac in the order of the pattern. It reports
// false if a pivot vanishes or is not finite.
func (m *stepMatrix) factor(shift float64, jac []float64) bool {
	if m.kernel != nil {
		return m.kernel.Factor(shift, jac, m.vals)
	}
	vals, plan := m.vals, m.plan
	n := len(m.first)
	clear(vals)
	slot := plan.slot[:len(jac)]
	for e, v := range jac {
		vals[slot[e]] = -v
	}
	diag := vals[:n]
	for k, d := range diag {
		diag[k], m.first[k] = d+shift, d+shift
	}

	target := plan.target
	for k := range plan.rows {
		r := &plan.rows[k]
		lower := vals[r.lower:r.upper]
		for i, j := range plan.column[int(r.lower)-n : int(r.upper)-n] {
			a := lower[i]
			lower[i] = a * vals[j]
			above := &plan.rows[plan.place[j]]
			upper := vals[above.upper:above.end]
			to := target[:len(upper)]
			target = target[len(upper):]
			for u, v := range upper {
				vals[to[u]] -= a * v
			}
		}
		d := vals[r.index]
		if !Sound(d, m.first[r.index], shift) {
			return false
		}
		d = 1 / d
		vals[r.index] = d
		for u := r.upper; u < r.end; u++ {
			vals[u] *= d
		}
	}
	return true
}

// solve replaces b, of which the first components count, by the solution x of
// (shift*I - J) x = b.
func (m *stepMatrix) solve(b *vector) {
	if m.kernel != nil {
		m.kernel.Solve(m.vals, (*[MostStates]float64)(b))
		return
	}
	vals, rows, n := m.vals, m.plan.rows, len(m.first)
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
		x := b[r.index] * vals[r.index]
		cols := column[int(r.upper)-n : int(r.end)-n]
		for i, u := range vals[r.upper:r.end] {
			x -= u * b[cols[i]]
		}
		b[r.index] = x
	}
}

// MostStates is the greatest size of a system. Within it an index is one byte, which
// makes a solution's inner loops small and free of bounds checks.
const MostStates = 256

// vector is a state vector with room for MostStates.
type vector [MostStates]float64
