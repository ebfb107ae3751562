package classic

// A Product is K times the states numbered, from 0, in the first Degree of Factor. It
// goes to the next Feeds of its table.
type Product struct {
	K      float64
	Degree int32
	Factor [3]int32
	Feeds  int32
}

// A Feed adds a product times a factor to a place.
type Feed struct {
	Factor float64
	Place  int64
}

// A Table gives as many values as it has places, each a sum of products of states. It is
// two plain lists, so that other languages can read it as it lies in memory.
type Table struct {
	Places   int
	Products []Product
	Feeds    []Feed
}

func (t *Table) add(k float64, factors []int, feeds []Feed) {
	p := Product{K: k, Degree: int32(len(factors)), Feeds: int32(len(feeds))}
	for i, f := range factors {
		p.Factor[i] = int32(f)
	}
	t.Products, t.Feeds = append(t.Products, p), append(t.Feeds, feeds...)
}

// Eval writes the values at the states y.
func (t *Table) Eval(y, out []float64) {
	clear(out)
	feeds := t.Feeds
	for i := range t.Products {
		p := &t.Products[i]
		v := p.K
		for _, f := range p.Factor[:p.Degree] {
			v *= y[f]
		}
		for _, f := range feeds[:p.Feeds] {
			out[f.Place] += f.Factor * v
		}
		feeds = feeds[p.Feeds:]
	}
}
