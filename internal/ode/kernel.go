package ode

import (
	"math"
	"slices"
)

// A Kernel is the linear algebra of one pattern written out, without loops and
// tables: some three times as fast. [WriteKernel] writes its source. It does the
// same operations in the same order as the tables, which serve every other pattern.
type Kernel struct {
	// Entries are those of the pattern that it is for, in order.
	Entries [][2]uint8
	// Size is the number of rows.
	Size int
	// Factor decomposes shift*I - jac into vals, Solve replaces b by the solution.
	// Factor reports false if a pivot vanishes or is not finite; see [Sound].
	Factor func(shift float64, jac, vals []float64) bool
	Solve  func(vals []float64, b *[MostStates]float64)
}

// fits reports whether the kernel is for the pattern.
func (k *Kernel) fits(p *Pattern) bool {
	return k.Size == p.size && slices.EqualFunc(k.Entries, p.entries, func(a [2]uint8, b [2]int) bool {
		return int(a[0]) == b[0] && int(a[1]) == b[1]
	})
}

// smallestPivot is the share of its own diagonal entry below which a pivot counts
// as zero: what is left is rounding.
const smallestPivot = 1e-13

// Sound reports whether a pivot is finite and more than rounding: first is what stood
// in its place before the decomposition, shift what was added to it.
func Sound(pivot, first, shift float64) bool {
	p := math.Abs(pivot)
	return p > smallestPivot*math.Abs(first) && p > smallestPivot*math.Abs(shift) && p <= math.MaxFloat64
}
