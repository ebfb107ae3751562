package ode

import "fmt"

// System is the initial value problem y' = f(t, y) of fixed dimension.
//
// Between two calls of [Solver.Advance] the system may change its mode (another
// stretch of a pedal ramp, a switched pump). Within one call it must be smooth on
// the closed interval: the solver asks for rates at both ends, and wants the
// limit from inside at each.
type System interface {
	// Size is the number of states.
	Size() int
	// Rates writes f(t, y) to dy. It must not keep or change y.
	Rates(t float64, y, dy []float64)
	// Pattern lists the structural nonzeros of df/dy. It is read once, by [New].
	Pattern() *Pattern
	// Jacobian writes df/dy to jac, one value for each entry of the pattern and in
	// its order, and the partial time derivative df/dt to dfdt, of length Size.
	// Both arrive zeroed, so that a system may add up contributions. Rates was
	// called last with the same t and y: a system may go on from what it found.
	Jacobian(t float64, y, jac, dfdt []float64)
}

// Pattern is the set of structural nonzeros of a square matrix, in a fixed order.
type Pattern struct {
	size    int
	entries [][2]int
}

// NewPattern makes the pattern of a size x size matrix from (row, column) pairs.
// The order of the entries is kept; the diagonal need not be among them. An entry
// out of range or listed twice is an error.
func NewPattern(size int, entries [][2]int) (*Pattern, error) {
	if size < 1 {
		return nil, fmt.Errorf("ode: pattern of size %d, want at least 1", size)
	}
	p := &Pattern{size: size, entries: make([][2]int, len(entries))}
	seen := make(map[[2]int]int, len(entries))
	for e, rc := range entries {
		if rc[0] < 0 || rc[0] >= size || rc[1] < 0 || rc[1] >= size {
			return nil, fmt.Errorf("ode: pattern entry %d is (%d, %d), outside of a matrix of size %d", e, rc[0], rc[1], size)
		}
		if first, twice := seen[rc]; twice {
			return nil, fmt.Errorf("ode: pattern entries %d and %d are both (%d, %d)", first, e, rc[0], rc[1])
		}
		seen[rc] = e
		p.entries[e] = rc
	}
	return p, nil
}

// Size is the number of rows, and of columns.
func (p *Pattern) Size() int { return p.size }

// Len is the number of entries.
func (p *Pattern) Len() int { return len(p.entries) }

// Entries returns a copy of the (row, column) pairs, in the order given to [NewPattern].
func (p *Pattern) Entries() [][2]int { return append([][2]int(nil), p.entries...) }
