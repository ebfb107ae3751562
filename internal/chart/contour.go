package chart

// Contours of a grid. Each cell is cut into four triangles about the mean of its
// corners, on which the field is linear: regions and lines then agree and no cell
// is ambiguous. A cell with a missing corner is left out.

// triangles calls f with the four triangles of cell i, j, counterclockwise, as
// nodes: corners are numbered along the grid, centres after them.
func (f *field) triangles(i, j int, visit func([3]node)) {
	nx, ny := len(f.x), len(f.y)
	at := func(i, j int) node {
		return node{id: i*ny + j, x: f.x[i], y: f.y[j], z: f.z[i][j]}
	}
	a, b, c, d := at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1)
	m := node{
		id: nx*ny + i*ny + j,
		x:  (a.x + b.x) / 2, y: (a.y + d.y) / 2, z: (a.z + b.z + c.z + d.z) / 4,
	}
	visit([3]node{a, b, m})
	visit([3]node{b, c, m})
	visit([3]node{c, d, m})
	visit([3]node{d, a, m})
}

type node struct {
	id      int
	x, y, z float64
}

// between is where the level crosses the edge from p to q.
func between(p, q node, level float64) xy {
	// The lower node first, so that both triangles at an edge get the same point.
	if q.id < p.id {
		p, q = q, p
	}
	s := (level - p.z) / (q.z - p.z)
	return xy{p.x + s*(q.x-p.x), p.y + s*(q.y-p.y)}
}

func (f *field) whole(i, j int) bool {
	return canDraw(f.z[i][j]) && canDraw(f.z[i+1][j]) && canDraw(f.z[i+1][j+1]) && canDraw(f.z[i][j+1])
}

// region is the part of the grid at or above level, as polygons that do not overlap.
func (f *field) region(level float64) [][]xy {
	var polygons [][]xy
	for j := range len(f.y) - 1 {
		run := -1 // first cell of a row of cells that lie above altogether
		flush := func(end int) {
			if run >= 0 {
				polygons = append(polygons, []xy{
					{f.x[run], f.y[j]}, {f.x[end], f.y[j]}, {f.x[end], f.y[j+1]}, {f.x[run], f.y[j+1]},
				})
			}
			run = -1
		}
		for i := range len(f.x) - 1 {
			if !f.whole(i, j) {
				flush(i)
				continue
			}
			if min(f.z[i][j], f.z[i+1][j], f.z[i+1][j+1], f.z[i][j+1]) >= level {
				if run < 0 {
					run = i
				}
				continue
			}
			flush(i)
			f.triangles(i, j, func(t [3]node) {
				if part := above(t, level); len(part) > 2 {
					polygons = append(polygons, part)
				}
			})
		}
		flush(len(f.x) - 1)
	}
	return polygons
}

// above is the part of a triangle at or above the level.
func above(t [3]node, level float64) []xy {
	var part []xy
	for k := range t {
		p, q := t[k], t[(k+1)%3]
		if p.z >= level {
			part = append(part, xy{p.x, p.y})
		}
		if (p.z >= level) != (q.z >= level) {
			part = append(part, between(p, q, level))
		}
	}
	return part
}

// isolines are the lines at a level, joined end to end.
func (f *field) isolines(level float64) [][]xy {
	type edge [2]int
	type segment struct {
		ends [2]edge
		at   [2]xy
	}
	var segments []segment
	touching := map[edge][]int{}
	for i := range len(f.x) - 1 {
		for j := range len(f.y) - 1 {
			if !f.whole(i, j) {
				continue
			}
			f.triangles(i, j, func(t [3]node) {
				var s segment
				n := 0
				for k := range t {
					p, q := t[k], t[(k+1)%3]
					if (p.z >= level) != (q.z >= level) && n < 2 {
						s.ends[n], s.at[n] = edge{min(p.id, q.id), max(p.id, q.id)}, between(p, q, level)
						n++
					}
				}
				if n == 2 {
					for _, e := range s.ends {
						touching[e] = append(touching[e], len(segments))
					}
					segments = append(segments, s)
				}
			})
		}
	}
	used := make([]bool, len(segments))
	// walk follows the line from end on, using each segment once.
	walk := func(end edge) (line []xy) {
		for {
			next := -1
			for _, k := range touching[end] {
				if !used[k] {
					next = k
					break
				}
			}
			if next < 0 {
				return line
			}
			used[next] = true
			s := segments[next]
			far := 1
			if s.ends[1] == end {
				far = 0
			}
			line, end = append(line, s.at[far]), s.ends[far]
		}
	}
	var lines [][]xy
	for k, s := range segments {
		if used[k] {
			continue
		}
		used[k] = true
		ahead, back := walk(s.ends[1]), walk(s.ends[0])
		line := make([]xy, 0, len(ahead)+len(back)+2)
		for i := len(back) - 1; i >= 0; i-- {
			line = append(line, back[i])
		}
		line = append(line, s.at[0], s.at[1])
		lines = append(lines, append(line, ahead...))
	}
	return lines
}
