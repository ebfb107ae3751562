package ode

// elimination is the plan of a sparse LU decomposition with pivots on the diagonal,
// in an order chosen once for a pattern. Entries of the factors are numbered so
// that a decomposition runs through them from front to back: first the diagonal in
// pivot order, then for each pivot its column of L followed by its row of U.
type elimination struct {
	pivots []pivot
	index  []int32 // row of each entry of L, column of each entry of U
	target []int32 // entry changed by each update, in the order of the decomposition
	slot   []int32 // entry of each entry of the pattern
	fill   int     // entries that are zero before the decomposition
}

// pivot is one row and column of the matrix, and the place of its factors: the
// column of L is lower to upper, the row of U is upper to end.
type pivot struct {
	row               int32
	lower, upper, end int32
}

func (e *elimination) entries() int { return len(e.index) }

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

	e := &elimination{}
	number := make(map[[2]int]int32)
	e.index = make([]int32, n)
	done := make([]bool, n)
	for k := range n {
		best := choosePivot(full, done)
		rows, cols := neighbours(full, done, best)
		done[best] = true
		number[[2]int{best, best}] = int32(k)
		e.index[k] = int32(best)
		pv := pivot{row: int32(best), lower: int32(len(e.index))}
		for _, i := range rows {
			number[[2]int{i, best}] = int32(len(e.index))
			e.index = append(e.index, int32(i))
		}
		pv.upper = int32(len(e.index))
		for _, j := range cols {
			number[[2]int{best, j}] = int32(len(e.index))
			e.index = append(e.index, int32(j))
		}
		pv.end = int32(len(e.index))
		e.pivots = append(e.pivots, pv)
		for _, i := range rows {
			for _, j := range cols {
				full[i][j] = true
			}
		}
	}

	for _, pv := range e.pivots {
		for _, i := range e.index[pv.lower:pv.upper] {
			for _, j := range e.index[pv.upper:pv.end] {
				e.target = append(e.target, number[[2]int{int(i), int(j)}])
			}
		}
	}
	for _, rc := range p.entries {
		e.slot = append(e.slot, number[rc])
	}
	e.fill = len(e.index) - nonzeros
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
