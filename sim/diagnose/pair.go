package diagnose

import (
	"cmp"
	"context"
	"maps"
	"math"
	"slices"
	"sync"

	"kneepoint/sim"
	"kneepoint/sim/batch"
	"kneepoint/sim/si"
	"kneepoint/sim/workshop"
)

// pairLevels is the number of severities of each fault of a pair.
const pairLevels = 8

// pairsSimulated is how many pairs are simulated for a set of readings: those
// that come nearest to it by the estimate from their parts.
const pairsSimulated = 12

// A pairing is two of the library's faults, the lower index first.
type pairing struct{ a, b int }

// pairBreakpoints are the severities of each fault at which a pair is simulated. At
// severity 0 a pair is its other fault, so the estimate is right there.
var pairBreakpoints = []float64{0.5, 0.9}

// pairs are all cars with two faults. Their outcomes are put together from those
// of the single faults; a pair that matters is simulated at a few severities, and
// what the estimate misses there is taken off in between.
type pairs struct {
	lay   sync.Once
	cells []pairCell

	mu        sync.RWMutex
	corrected map[pairing]bool
}

type pairCell struct {
	pairing
	severities [2]float64
	// point is the estimate, or what the simulation made of it; it is replaced and
	// never written to.
	*point
	bent  []float64    // the estimate on the scale of bend
	alone [2][]float64 // outcomes of each fault by itself
	// as is how much of the cell counts as each of its classes.
	as [4]float64
}

const noFault = -1

// classes are what a pair can count as: the sound car, either of its faults where no
// test shows the other, and itself.
func (p pairing) classes() [4]class {
	return [4]class{soundClass, {p.a, noFault}, {p.b, noFault}, {p.a, p.b}}
}

// itself is how much of a cell counts as the pair that it is.
func (c *pairCell) itself() float64 { return c.as[3] }

// layPairs works out the estimate of every pair, once.
func (l *Library) layPairs() {
	l.pairs.lay.Do(func() {
		means := make([][][]float64, len(l.faults)) // bent, at every half level
		for f := range l.faults {
			means[f] = l.means(f, 2*pairLevels)
			for _, m := range means[f] {
				for t := range m {
					m[t] = l.trials[t].Additive(m[t])
				}
			}
		}
		sound := make([]float64, len(l.trials))
		for t := range sound {
			sound[t] = l.trials[t].Additive(l.sound.mean[t])
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
		pairing: pairing{a, b}, severities: [2]float64{level(i), level(j)},
		point: &point{mean: make([]float64, n), slope: make([][unknowns]float64, n)}, bent: make([]float64, n),
		alone: [2][]float64{make([]float64, n), make([]float64, n)},
	}
	for t, tr := range l.trials {
		va, vb := ma[2*i+1][t], mb[2*j+1][t]
		c.bent[t] = va + vb - sound[t]
		c.mean[t] = tr.FromAdditive(c.bent[t])
		c.alone[0][t], c.alone[1][t] = tr.FromAdditive(va), tr.FromAdditive(vb)
		sa, sb := l.slopeAt(a, t, c.severities[0]), l.slopeAt(b, t, c.severities[1])
		for k := range countNuisances {
			c.slope[t][k] = tr.Felt(sa[k] + sb[k] - l.sound.slope[t][k])
		}
		c.slope[t][countNuisances] = withinStep * finite(tr.FromAdditive(ma[2*i+2][t]+vb-sound[t])-tr.FromAdditive(ma[2*i][t]+vb-sound[t]))
		c.slope[t][countNuisances+1] = withinStep * finite(tr.FromAdditive(va+mb[2*j+2][t]-sound[t])-tr.FromAdditive(va+mb[2*j][t]-sound[t]))
	}
	l.compare(&c)
	return c
}

// compare compares a pair with the sound car and with each of its faults alone.
func (l *Library) compare(c *pairCell) {
	left := 1.0
	for k, other := range [...]*point{&l.sound, {mean: c.alone[0]}, {mean: c.alone[1]}} {
		c.as[k] = left * likeness(l.gap(c.point, other))
		left -= c.as[k]
	}
	c.as[3] = left
}

func level(i int) float64 { return (float64(i) + 0.5) / pairLevels }

// correct simulates the pairs of the given cells, if they have not been yet.
func (l *Library) correct(ctx context.Context, best []*pairCell) error {
	l.pairs.mu.RLock()
	var missing []pairing
	for _, c := range best {
		if !l.pairs.corrected[c.pairing] {
			missing = append(missing, c.pairing)
		}
	}
	l.pairs.mu.RUnlock()
	n := len(pairBreakpoints)
	found := make([][]float64, len(missing)*n*n)
	_, err := batch.ForEach(ctx, len(found), nil, func(ctx context.Context, i int) (err error) {
		p := missing[i/(n*n)]
		found[i], err = l.outcomes(ctx, []sim.Fault{
			workshop.FaultAt(l.faults[p.a].names[0], si.Ratio(pairBreakpoints[i/n%n])),
			workshop.FaultAt(l.faults[p.b].names[0], si.Ratio(pairBreakpoints[i%n])),
		}, -1, l.trials)
		return err
	})
	if err != nil {
		return err
	}
	l.pairs.mu.Lock()
	defer l.pairs.mu.Unlock()
	for k, p := range missing {
		if !l.pairs.corrected[p] {
			l.pairs.corrected[p] = true
			l.takeOff(p, l.missed(p, found[k*n*n:(k+1)*n*n]))
		}
	}
	return nil
}

// SimulatePairs simulates all pairs of faults, for programs that diagnose many
// cars of a kind; a single diagnosis simulates those that matter to it.
func (l *Library) SimulatePairs(ctx context.Context) error {
	l.layPairs()
	var all []*pairCell
	for i := range l.pairs.cells {
		if n := len(all); n == 0 || all[n-1].pairing != l.pairs.cells[i].pairing {
			all = append(all, &l.pairs.cells[i])
		}
	}
	return l.correct(ctx, all)
}

// missed is what the estimate of a pair misses at the breakpoints, with 0 where either
// severity is 0, on the scale of bend.
func (l *Library) missed(p pairing, found [][]float64) [][][]float64 {
	n := len(pairBreakpoints)
	out := make([][][]float64, n+1)
	for i := range out {
		out[i] = make([][]float64, n+1)
		for j := range out[i] {
			out[i][j] = make([]float64, len(l.trials))
			if i == 0 || j == 0 {
				continue
			}
			a, b := l.outcomesAt(p.a, pairBreakpoints[i-1]), l.outcomesAt(p.b, pairBreakpoints[j-1])
			for t, tr := range l.trials {
				estimate := tr.Additive(a[t]) + tr.Additive(b[t]) - tr.Additive(l.sound.mean[t])
				out[i][j][t] = finite(tr.Additive(found[(i-1)*n+j-1][t]) - estimate)
			}
		}
	}
	return out
}

// outcomesAt returns the outcomes of a fault, interpolated to a severity.
func (l *Library) outcomesAt(f int, severity float64) []float64 {
	return l.fine[f][int(math.Round(severity*compareSteps))].mean
}

// takeOff corrects all cells of a pair.
func (l *Library) takeOff(p pairing, by [][][]float64) {
	for i := range l.pairs.cells {
		c := &l.pairs.cells[i]
		if c.pairing != p {
			continue
		}
		ia, ua := betweenBreakpoints(c.severities[0])
		ib, ub := betweenBreakpoints(c.severities[1])
		next := &point{mean: make([]float64, len(c.mean)), slope: c.slope}
		for t, tr := range l.trials {
			miss := (1-ua)*((1-ub)*by[ia][ib][t]+ub*by[ia][ib+1][t]) + ua*((1-ub)*by[ia+1][ib][t]+ub*by[ia+1][ib+1][t])
			next.mean[t] = tr.FromAdditive(c.bent[t] + miss)
		}
		c.point = next
		l.compare(c)
	}
}

// betweenBreakpoints returns the breakpoint below a severity, counted from severity 0, and the
// share of the way to the next; beyond the last breakpoint it stays there.
func betweenBreakpoints(severity float64) (below int, share float64) {
	last := 0.0
	for i, k := range pairBreakpoints {
		if severity <= k {
			return i, (severity - last) / (k - last)
		}
		last = k
	}
	return len(pairBreakpoints) - 1, 1
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
