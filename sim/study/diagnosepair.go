package study

import (
	"cmp"
	"context"
	"maps"
	"math"
	"slices"
	"sync"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// pairLevels is the number of severities of each fault of a pair.
const pairLevels = 10

// pairsSimulated is how many pairs are simulated for a set of readings: those
// that come nearest to it by the estimate from their parts.
const pairsSimulated = 12

// A pairing is two of the library's faults, the lower index first.
type pairing struct{ a, b int }

// pairs are all cars with two faults. Their outcomes are put together from those
// of the single faults; of a pair that matters one car is simulated, and what
// the estimate misses there is added everywhere.
type pairs struct {
	lay   sync.Once
	cells []pairCell

	mu          sync.Mutex
	corrections map[pairing][]float64 // on the scale of bend
}

type pairCell struct {
	pairing
	severities [2]float64
	point
	bent []float64 // the estimate on the scale of bend
	// like is the single fault that no test tells the pair from, noFault for the
	// sound car, or itself.
	like int
}

const (
	noFault = -1
	itself  = -2
)

// bend puts an outcome on the scale on which faults add up best: leaks drain a
// chamber each at its rate, factors multiply.
func (t trial) bend(v float64) float64 {
	switch t.test {
	case scenario.LeakDown:
		return -math.Log(1 - min(v/float64(t.start), 0.995))
	case scenario.PressureCreep:
		return v
	default:
		return math.Log(max(v, 1e-6))
	}
}

func (t trial) unbend(v float64) float64 {
	switch t.test {
	case scenario.LeakDown:
		return float64(t.start) * (1 - math.Exp(-max(0, v)))
	case scenario.PressureCreep:
		return max(0, v)
	default:
		return math.Exp(v)
	}
}

// layPairs works out the estimate of every pair, once.
func (l *Library) layPairs() {
	l.pairs.lay.Do(func() {
		means := make([][][]float64, len(l.faults)) // bent, at every half level
		for f := range l.faults {
			means[f] = l.means(f, 2*pairLevels)
			for _, m := range means[f] {
				for t := range m {
					m[t] = l.trials[t].bend(m[t])
				}
			}
		}
		sound := make([]float64, len(l.trials))
		for t := range sound {
			sound[t] = l.trials[t].bend(l.sound.mean[t])
		}
		for a := range l.faults {
			for b := a + 1; b < len(l.faults); b++ {
				for i := range pairLevels {
					for j := range pairLevels {
						l.pairs.cells = append(l.pairs.cells, l.pairOf(a, b, i, j, means[a], means[b], sound))
					}
				}
			}
		}
	})
}

func (l *Library) pairOf(a, b, i, j int, ma, mb [][]float64, sound []float64) pairCell {
	n := len(l.trials)
	c := pairCell{
		pairing: pairing{a, b}, severities: [2]float64{level(i), level(j)}, like: itself,
		point: point{mean: make([]float64, n), slope: make([][unknowns]float64, n)}, bent: make([]float64, n),
	}
	var alone [2]point
	for k := range alone {
		alone[k].mean = make([]float64, n)
	}
	for t, tr := range l.trials {
		va, vb := ma[2*i+1][t], mb[2*j+1][t]
		c.bent[t] = va + vb - sound[t]
		c.mean[t] = tr.unbend(c.bent[t])
		alone[0].mean[t], alone[1].mean[t] = tr.unbend(va), tr.unbend(vb)
		sa, sb := l.slopeAt(a, t, c.severities[0]), l.slopeAt(b, t, c.severities[1])
		for k := range countNuisances {
			c.slope[t][k] = sa[k] + sb[k] - l.sound.slope[t][k]
		}
		c.slope[t][countNuisances] = withinStep * finite(tr.unbend(ma[2*i+2][t]+vb-sound[t])-tr.unbend(ma[2*i][t]+vb-sound[t]))
		c.slope[t][countNuisances+1] = withinStep * finite(tr.unbend(va+mb[2*j+2][t]-sound[t])-tr.unbend(va+mb[2*j][t]-sound[t]))
	}
	switch {
	case l.alike(&c.point, &l.sound):
		c.like = noFault
	case l.alike(&c.point, &alone[0]):
		c.like = a
	case l.alike(&c.point, &alone[1]):
		c.like = b
	}
	return c
}

func level(i int) float64 { return (float64(i) + 0.5) / pairLevels }

// pointOf returns the outcomes of a pair, corrected where it was simulated. The
// caller holds the mutex.
func (l *Library) pointOf(c *pairCell) *point {
	by, ok := l.pairs.corrections[c.pairing]
	if !ok {
		return &c.point
	}
	p := point{mean: make([]float64, len(c.mean)), slope: c.slope}
	for t, tr := range l.trials {
		p.mean[t] = c.mean[t]
		if by[t] != 0 {
			p.mean[t] = tr.unbend(c.bent[t] + by[t])
		}
	}
	return &p
}

// correct simulates the pairs of the given cells, if they have not been yet.
func (l *Library) correct(ctx context.Context, best []*pairCell) error {
	l.pairs.mu.Lock()
	var missing []*pairCell
	for _, c := range best {
		if _, ok := l.pairs.corrections[c.pairing]; !ok {
			missing = append(missing, c)
		}
	}
	l.pairs.mu.Unlock()
	found := make([][]float64, len(missing))
	_, err := forEach(ctx, len(missing), nil, func(ctx context.Context, i int) (err error) {
		c := missing[i]
		found[i], err = l.outcomes(ctx, []sim.Fault{
			FaultAt(l.faults[c.a].names[0], si.Ratio(c.severities[0])),
			FaultAt(l.faults[c.b].names[0], si.Ratio(c.severities[1])),
		}, -1, l.trials)
		return err
	})
	if err != nil {
		return err
	}
	l.pairs.mu.Lock()
	defer l.pairs.mu.Unlock()
	for i, c := range missing {
		by := make([]float64, len(l.trials))
		for t, tr := range l.trials {
			by[t] = finite(tr.bend(found[i][t]) - c.bent[t])
		}
		l.pairs.corrections[c.pairing] = by
	}
	return nil
}

// scored is the cell of a pair that comes nearest to readings, with the sum of
// its squared misses, none beyond capAt.
type scored struct {
	cell *pairCell
	miss float64
}

// bestPairs returns the cells of the few pairs that come nearest to readings.
func bestPairs(best map[pairing]scored) []*pairCell {
	order := slices.SortedFunc(maps.Values(best), func(a, b scored) int {
		if a.miss != b.miss {
			return cmp.Compare(a.miss, b.miss)
		}
		return cmp.Or(a.cell.a-b.cell.a, a.cell.b-b.cell.b)
	})
	var out []*pairCell
	for _, s := range order[:min(pairsSimulated, len(order))] {
		out = append(out, s.cell)
	}
	return out
}
