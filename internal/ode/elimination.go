package ode

import "slices"

// elimination is the plan of a sparse LU decomposition with pivots on the diagonal,
// in an order chosen once for a pattern. Its entries are numbered in the order in
// which a solution needs them, so that solving is two straight runs: the diagonal by
// row, the columns of L from the first pivot on, the rows of U from the last pivot
// back.
type elimination struct {
	pivots  []pivot
	target  []int32 // entry changed by each update, in the order of the decomposition
	forward []hop   // of the entries of L
	back    []hop   // of the entries of U
	slot    []int32 // entry of each entry of the pattern
	fill    int     // entries that are zero before the decomposition
}

// pivot is one row and column of the matrix, and the place of its factors.
type pivot struct {
	row             int32
	lower, lowerEnd int32 // its column of L
	upper, upperEnd int32 // its row of U
}

// hop subtracts an entry times one component of a solution from another.
type hop struct{ to, from uint8 }

func (e *elimination) entries() int { return len(e.pivots) + len(e.forward) + len(e.back) }

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

	type step struct {
		row        int
		rows, cols []int // of the column of L, of the row of U
	}
	var steps []step
	done := make([]bool, n)
	for range n {
		best := choosePivot(full, done)
		rows, cols := neighbours(full, done, best)
		done[best] = true
		steps = append(steps, step{best, rows, cols})
		for _, i := range rows {
			for _, j := range cols {
				full[i][j] = true
			}
		}
	}

	e := &elimination{}
	number := make(map[[2]int]int32)
	for i := range n {
		number[[2]int{i, i}] = int32(i)
	}
	enter := func(i, j int) { number[[2]int{i, j}] = int32(len(number)) }
	e.pivots = make([]pivot, n)
	for k, s := range steps {
		pv := pivot{row: int32(s.row), lower: int32(len(number))}
		for _, i := range s.rows {
			enter(i, s.row)
			e.forward = append(e.forward, hop{to: uint8(i), from: uint8(s.row)})
		}
		pv.lowerEnd = int32(len(number))
		e.pivots[k] = pv
	}
	for k, s := range slices.Backward(steps) {
		e.pivots[k].upper = int32(len(number))
		for _, j := range s.cols {
			enter(s.row, j)
			e.back = append(e.back, hop{to: uint8(s.row), from: uint8(j)})
		}
		e.pivots[k].upperEnd = int32(len(number))
	}
	for _, s := range steps {
		for _, i := range s.rows {
			for _, j := range s.cols {
				e.target = append(e.target, number[[2]int{i, j}])
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
