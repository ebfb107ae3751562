package ode

import (
	"fmt"
	"io"
	"strings"
)

// WriteKernel writes Go declarations of the kernel of a pattern: two functions and a
// [Kernel] called name, for a file that imports this package.
func WriteKernel(w io.Writer, name string, p *Pattern) error {
	k := kernelSource{elimination: planElimination(p), entries: p.Len()}
	k.number()
	k.from = make(map[[2]int]int, p.Len())
	for e, rc := range p.entries {
		k.from[rc] = e
	}
	k.printf("var %s = ode.Kernel{\nSize: %d,\nEntries: [][2]uint8{", name, p.size)
	for e, rc := range p.entries {
		if e%12 == 0 {
			k.printf("\n")
		}
		k.printf("{%d, %d},", rc[0], rc[1])
	}
	k.printf("\n},\nFactor: %sFactor,\nSolve: %[1]sSolve,\n}\n\n", name)
	k.factor(name)
	k.solve(name)
	_, err := io.WriteString(w, k.String())
	return err
}

// kernelSource is the text of a kernel as it grows.
type kernelSource struct {
	*elimination
	strings.Builder
	entries int
	at      map[[2]int]int // place in the factors of a row and column
	from    map[[2]int]int // place in the pattern
}

func (k *kernelSource) printf(format string, args ...any) { fmt.Fprintf(k, format, args...) }

// number notes where each entry of the factors lies.
func (k *kernelSource) number() {
	k.at = map[[2]int]int{}
	for _, r := range k.rows {
		k.at[[2]int{int(r.index), int(r.index)}] = int(r.index)
		for e := r.lower; e < r.end; e++ {
			k.at[[2]int{int(r.index), int(k.column[int(e)-len(k.rows)])}] = int(e)
		}
	}
}

// lowerOf and upperOf are the columns of a row's entries of L and U.
func (k *kernelSource) lowerOf(r row) []uint8 {
	return k.column[int(r.lower)-len(k.rows) : int(r.upper)-len(k.rows)]
}
func (k *kernelSource) upperOf(r row) []uint8 {
	return k.column[int(r.upper)-len(k.rows) : int(r.end)-len(k.rows)]
}

// factor writes the decomposition, a row at a time: as long as a row is at work its
// entries are variables, one a column.
func (k *kernelSource) factor(name string) {
	k.printf("func %sFactor(shift float64, jac, vals []float64) bool {\n", name)
	k.printf("j, v := (*[%d]float64)(jac), (*[%d]float64)(vals)\n", k.entries, k.elimination.entries())
	for _, r := range k.rows {
		i := int(r.index)
		zero := map[uint8]bool{}
		start := func(c uint8) {
			e, there := k.from[[2]int{i, int(c)}]
			switch {
			case int(c) == i && there:
				k.printf("a%d := shift - j[%d]\n", c, e)
			case int(c) == i:
				k.printf("a%d := shift\n", c)
			case there:
				k.printf("a%d := -j[%d]\n", c, e)
			default:
				zero[c] = true
			}
		}
		k.printf("{\n")
		for _, c := range k.lowerOf(r) {
			start(c)
		}
		start(r.index)
		k.printf("first := a%d\n", i)
		for _, c := range k.upperOf(r) {
			start(c)
		}
		for _, c := range k.lowerOf(r) {
			k.printf("v[%d] = a%d * v[%[2]d]\n", k.at[[2]int{i, int(c)}], c)
			above := k.rows[k.place[c]]
			for _, u := range k.upperOf(above) {
				from := k.at[[2]int{int(c), int(u)}]
				if zero[u] {
					k.printf("a%d := -(a%d * v[%d])\n", u, c, from)
					delete(zero, u)
				} else {
					k.printf("a%d -= a%d * v[%d]\n", u, c, from)
				}
			}
		}
		k.printf("if !ode.Sound(a%d, first, shift) {\nreturn false\n}\nd := 1 / a%[1]d\nv[%[1]d] = d\n", i)
		for _, c := range k.upperOf(r) {
			k.printf("v[%d] = a%d * d\n", k.at[[2]int{i, int(c)}], c)
		}
		k.printf("}\n")
	}
	k.printf("return true\n}\n\n")
}

// solve writes both substitutions.
func (k *kernelSource) solve(name string) {
	k.printf("func %sSolve(vals []float64, b *[ode.MostStates]float64) {\n", name)
	k.printf("v := (*[%d]float64)(vals)\n", k.elimination.entries())
	for _, r := range k.rows {
		k.printf("x%d := b[%[1]d]%s\n", r.index, k.products(r, k.lowerOf(r)))
	}
	for n := len(k.rows) - 1; n >= 0; n-- {
		r := k.rows[n]
		k.printf("x%d = x%[1]d * v[%[1]d]%s\nb[%[1]d] = x%[1]d\n", r.index, k.products(r, k.upperOf(r)))
	}
	k.printf("}\n\n")
}

// products is what a row's entries in the given columns take off.
func (k *kernelSource) products(r row, columns []uint8) string {
	var s strings.Builder
	for _, c := range columns {
		fmt.Fprintf(&s, " - v[%d]*x%d", k.at[[2]int{int(r.index), int(c)}], c)
	}
	return s.String()
}
