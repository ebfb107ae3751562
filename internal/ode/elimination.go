package ode

import (
	"slices"
	"sync"
)

// elimination is the plan of a sparse LU decomposition with pivots on the diagonal,
// in an order chosen once for a pattern. Both factors lie row by row in the order of
// the pivots, as a decomposition makes them and a solution needs them: a row's entries
// of L, then its entries of U; before all of them the diagonal, by row. Within a row
// those of the unknowns found last come last, so that a sum need not wait for them.
type elimination struct {
	rows   []row
	column []uint8 // of each entry behind the diagonal
	target []int32 // entry changed by each update, in the order of the decomposition
	place  []uint8 // pivot of each row
	slot   []int32 // entry of each entry of the pattern
	fill   int     // entries that are zero before the decomposition
}

// row is one row of the factors, in pivot order: its entries of L are lower to upper,
// those of U upper to end.
type row struct {
	lower, upper, end int32
	index             uint8 // of the row in the matrix
}

func (e *elimination) entries() int { return len(e.rows) + len(e.column) }

// plans are those of the patterns so far: of a program's many cars most are of one kind.
var plans sync.Map // *elimination over the string of a pattern

// eliminationOf is the plan of a pattern, which all its systems share: nobody changes it.
func eliminationOf(p *Pattern) *elimination {
	key := make([]byte, 1, 1+2*len(p.entries))
	key[0] = uint8(p.size - 1)
	for _, rc := range p.entries {
		key = append(key, uint8(rc[0]), uint8(rc[1]))
	}
	if known, ok := plans.Load(string(key)); ok {
		return known.(*elimination)
	}
	plan, _ := plans.LoadOrStore(string(key), planElimination(p))
	return plan.(*elimination)
}

// planElimination picks pivots by Markowitz's rule, the least product of the other
// entries in the pivot's row and column; ties go to the pivot that adds fewer
// entries, then to the lower index.
func planElimination(p *Pattern) *elimination {
	n := p.size
	full := make([][]bool, n)
	for i := range full {
		full[i] = make([]bool, n)
		full[i][i] = true
	}
	nonzeros := n
	for _, rc := range p.entries {
		if rc[0] != rc[1] {
			full[rc[0]][rc[1]] = true
			nonzeros++
		}
	}

	e := &elimination{rows: make([]row, n), place: make([]uint8, n)}
	order, done := make([]int, n), make([]bool, n)
	for k := range n {
		best := choosePivot(full, done)
		rows, cols := neighbours(full, done, best)
		done[best] = true
		order[k], e.place[best] = best, uint8(k)
		for _, i := range rows {
			for _, j := range cols {
				full[i][j] = true
			}
		}
	}

	number := make(map[[2]int]int32)
	for i := range n {
		number[[2]int{i, i}] = int32(i)
	}
	enter := func(i, j int) {
		number[[2]int{i, j}] = int32(len(number))
		e.column = append(e.column, uint8(j))
	}
	for k, i := range order {
		r := row{index: uint8(i), lower: int32(len(number))}
		for _, j := range order[:k] {
			if full[i][j] {
				enter(i, j)
			}
		}
		r.upper = int32(len(number))
		for _, j := range slices.Backward(order[k+1:]) {
			if full[i][j] {
				enter(i, j)
			}
		}
		r.end = int32(len(number))
		e.rows[k] = r
	}
	for _, r := range e.rows {
		for _, j := range e.column[r.lower-int32(n) : r.upper-int32(n)] {
			above := e.rows[e.place[j]]
			for _, l := range e.column[above.upper-int32(n) : above.end-int32(n)] {
				e.target = append(e.target, number[[2]int{int(r.index), int(l)}])
			}
		}
	}
	for _, rc := range p.entries {
		e.slot = append(e.slot, number[rc])
	}
	e.fill = e.entries() - nonzeros
	return e
}

func choosePivot(full [][]bool, done []bool) int {
	best, bestCost, bestFill := -1, 0, 0
	for k := range full {
		if done[k] {
			continue
		}
		rows, cols := neighbours(full, done, k)
		cost, fill := len(rows)*len(cols), 0
		for _, i := range rows {
			for _, j := range cols {
				if !full[i][j] {
					fill++
				}
			}
		}
		if best < 0 || cost < bestCost || cost == bestCost && fill < bestFill {
			best, bestCost, bestFill = k, cost, fill
		}
	}
	return best
}

// neighbours lists the rows with an entry in column k and the columns with an entry
// in row k, among those not eliminated yet and without k itself.
func neighbours(full [][]bool, done []bool, k int) (rows, cols []int) {
	for i := range full {
		if i == k || done[i] {
			continue
		}
		if full[i][k] {
			rows = append(rows, i)
		}
		if full[k][i] {
			cols = append(cols, i)
		}
	}
	return rows, cols
}
