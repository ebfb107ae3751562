package ode

import (
	"fmt"
	"math"
)

// Shares of the scale by which CheckJacobian moves a state. Neighbours are compared
// with each other, which tells too wide a step (curvature, a corner nearby) and too
// small a one (rounding) from a good one.
var checkSteps = [...]float64{1e-2, 1e-3, 1e-4, 1e-5, 1e-6, 1e-7, 1e-8, 1e-9}

// checkFloor is the share of the largest scaled derivative in a row below which a
// difference quotient is taken for noise.
const checkFloor = 1e-9

// CheckJacobian compares the system's Jacobian and time derivative at (t, y) with
// central differences; it is meant for tests. scale is a typical magnitude of each
// state, in its unit.
//
// worst is the largest relative deviation, |analytic - difference| divided by the
// larger of the two or by 1e-6 of the largest derivative in the row (each times the
// scale of its state), whichever is more. where is its row and column, column -1
// meaning df/dt. A correct Jacobian of smooth rates gives some 1e-6 or less. Time
// is moved by up to 1e-2 of max(|t|, 1): t should lie inside of a smooth stretch, or
// at least 1e-6 of that from its ends.
//
// err reports wrong lengths, numbers that are not finite, and rates that depend on
// a state the pattern denies.
func CheckJacobian(sys System, t float64, y, scale []float64) (worst float64, where [2]int, err error) {
	n := sys.Size()
	p := sys.Pattern()
	if p == nil || p.size != n {
		return 0, where, fmt.Errorf("ode: system of %d states without a pattern of that size", n)
	}
	if len(y) != n || len(scale) != n {
		return 0, where, fmt.Errorf("ode: %d values and %d scales for %d states", len(y), len(scale), n)
	}
	for i, v := range scale {
		if !(v > 0) || math.IsInf(v, 0) {
			return 0, where, fmt.Errorf("ode: scale of state %d is %g, want a finite number above 0", i, v)
		}
	}

	jac := make([]float64, p.Len())
	dfdt := make([]float64, n)
	sys.Rates(t, y, make([]float64, n)) // a Jacobian follows on rates at the same place
	sys.Jacobian(t, y, jac, dfdt)
	analytic := newDense(n, n+1)
	listed := make(map[[2]int]bool, p.Len())
	for e, rc := range p.entries {
		analytic[rc[0]][rc[1]] = jac[e]
		listed[rc] = true
	}
	for i, v := range dfdt {
		analytic[i][n] = v
		listed[[2]int{i, n}] = true
	}

	scales := append(append([]float64(nil), scale...), math.Max(math.Abs(t), 1))
	quotient := differenceQuotients(sys, t, y, scales)
	for i := range n {
		largest := 0.0
		for j, d := range quotient[i] {
			if a := analytic[i][j]; a-a != 0 || d-d != 0 {
				return 0, where, fmt.Errorf("ode: derivative of rate %d by %s is %g, difference quotient %g", i, variable(j, n), a, d)
			}
			largest = max(largest, math.Abs(d)*scales[j], math.Abs(analytic[i][j])*scales[j])
		}
		for j, d := range quotient[i] {
			a := analytic[i][j]
			if !listed[[2]int{i, j}] {
				if math.Abs(d)*scales[j] > checkFloor*largest {
					return 0, where, fmt.Errorf("ode: rate %d depends on %s (derivative %.6g), which is not in the pattern", i, variable(j, n), d)
				}
				continue
			}
			unit := max(math.Abs(a), math.Abs(d), 1e-6*largest/scales[j])
			if unit == 0 {
				continue
			}
			if dev := math.Abs(a-d) / unit; dev > worst {
				worst, where = dev, [2]int{i, j}
			}
		}
	}
	if where[1] == n {
		where[1] = -1
	}
	return worst, where, nil
}

func variable(j, n int) string {
	if j == n {
		return "time"
	}
	return fmt.Sprintf("state %d", j)
}

// differenceQuotients are those of each rate by each state and, in the last column,
// by time, each from the two step sizes that agree best.
func differenceQuotients(sys System, t float64, y, scales []float64) [][]float64 {
	n := len(y)
	best := newDense(n, n+1)
	moved := append([]float64(nil), y...)
	above, below := make([]float64, n), make([]float64, n)
	quotient, before := make([]float64, n), make([]float64, n)
	agreement := make([]float64, n)
	for j := range n + 1 {
		for k, share := range checkSteps {
			d := share * scales[j]
			var width float64
			if j < n {
				up, down := y[j]+d, y[j]-d
				width = up - down
				moved[j] = up
				sys.Rates(t, moved, above)
				moved[j] = down
				sys.Rates(t, moved, below)
				moved[j] = y[j]
			} else {
				up, down := t+d, t-d
				width = up - down
				sys.Rates(up, y, above)
				sys.Rates(down, y, below)
			}
			for i := range n {
				quotient[i] = (above[i] - below[i]) / width
				rounding := ulp(max(math.Abs(above[i]), math.Abs(below[i]))) / width
				apart := math.Abs(quotient[i]-before[i]) + rounding
				if k == 0 {
					agreement[i], best[i][j] = math.Inf(1), quotient[i]
				} else if apart < agreement[i] {
					agreement[i], best[i][j] = apart, quotient[i]
				}
			}
			quotient, before = before, quotient
		}
	}
	return best
}

func newDense(rows, cols int) [][]float64 {
	m := make([][]float64, rows)
	block := make([]float64, rows*cols)
	for i := range m {
		m[i], block = block[:cols], block[cols:]
	}
	return m
}
