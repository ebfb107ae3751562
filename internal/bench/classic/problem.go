// Package classic has stiff problems of the literature, with what is known of their
// solutions. It knows no solver, so that the tests of any can use it.
package classic

import "slices"

// A Problem is y' = f(y) from a state at t = 0, where the rates f are sums of products
// of the states.
type Problem struct {
	Name  string
	Start []float64
	Known []Known // in order of time; the last is where the problem ends

	// Scale is the size of each state below which an error counts as absolute.
	Scale []float64

	// Compared is what the known values are of; nil where they are the states.
	Compared func(y []float64) []float64

	// Entries are the places of the Jacobian, row and column, that are not zero.
	Entries [][2]int

	F Table // the rates
	J Table // the Jacobian, one value for each of Entries
}

// Known are the values of a solution at a time.
type Known struct {
	Time   float64
	Values []float64
}

// Size is the number of states.
func (p *Problem) Size() int { return len(p.Start) }

// Rates writes the rates at y to dy.
func (p *Problem) Rates(_ float64, y, dy []float64) { p.F.Eval(y, dy) }

// Jacobian writes the derivatives of the rates by the states, in the order of Entries.
func (p *Problem) Jacobian(_ float64, y, jac, _ []float64) { p.J.Eval(y, jac) }

// End is the last time at which the solution is known.
func (p *Problem) End() Known { return p.Known[len(p.Known)-1] }

// A term is k times a product of states, which goes with factors into rates. States
// are numbered from 1, as in the literature.
type term struct {
	k       float64
	factors []int
	into    map[int]float64
}

// of gives the problem its rates, and the Jacobian that follows from them.
func (p *Problem) of(terms []term) *Problem {
	p.F.Places = p.Size()
	place := map[[2]int]int64{}
	for _, t := range terms {
		factors := make([]int, len(t.factors))
		for i, s := range t.factors {
			factors[i] = s - 1
		}
		var feeds []Feed
		for row := range p.Size() {
			if f := t.into[row+1]; f != 0 {
				feeds = append(feeds, Feed{f, int64(row)})
			}
		}
		p.F.add(t.k, factors, feeds)
		for i, column := range factors {
			var slopes []Feed
			for _, f := range feeds {
				at := [2]int{int(f.Place), column}
				if _, there := place[at]; !there {
					place[at] = int64(len(p.Entries))
					p.Entries = append(p.Entries, at)
				}
				slopes = append(slopes, Feed{f.Factor, place[at]})
			}
			p.J.add(t.k, slices.Concat(factors[:i], factors[i+1:]), slopes)
		}
	}
	p.J.Places = len(p.Entries)
	return p
}

// A reaction turns species into others, at k times the product of what it takes.
type reaction struct {
	k        float64
	from, to []int
}

// react is of for the law of mass action.
func (p *Problem) react(reactions []reaction) *Problem {
	var terms []term
	for _, r := range reactions {
		into := map[int]float64{}
		for _, s := range r.from {
			into[s]--
		}
		for _, s := range r.to {
			into[s]++
		}
		terms = append(terms, term{r.k, r.from, into})
	}
	return p.of(terms)
}

func even(n int, v float64) []float64 { return slices.Repeat([]float64{v}, n) }
