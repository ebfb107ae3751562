package diagnose

import (
	"context"
	"math"
	"slices"
	"sync"

	"kneepoint/internal/batch"
)

// pairLevels is the number of severities of each fault of a pair.
const pairLevels = 8

// A pairing is two of the library's faults, the lower index first.
type pairing struct{ a, b int }

// pairBreakpoints are the severities of each fault at which a pair is simulated. At
// severity 0 a pair is its other fault, so the estimate is right there.
var pairBreakpoints = [...]float64{0.5, 0.9}

// pairs are all cars with two faults. Their outcomes are put together from those
// of the single faults, once; for some readings a pair that matters to them is simulated at a
// few severities, and what the estimate misses there is taken off in between, of a copy: what
// they say hangs on no others.
type pairs struct {
	lay   sync.Once
	cells []pairCell
}

type pairCell struct {
	pairing
	severities [2]float64
	// point is the estimate, or what the simulation made of it; it is replaced and
	// never written to.
	*point
	added outcomes // the estimate on the scale on which faults add up
	// first and second are the outcomes of each fault by itself.
	first, second outcomes
	as            shares
}

// shares are how much of a pair counts as what: the sound car, either of its faults where
// no test shows the other, and itself.
type shares struct{ sound, first, second, itself float64 }

// A part is one fault of a pair at one level.
type part struct {
	step           // on the scale on which faults add up
	alone outcomes // in the middle of the step, as they are read
	slope [][unknowns]float64
}

// layPairs works out the estimate of every pair, once.
func (l *Library) layPairs() {
	l.pairs.lay.Do(func() {
		parts := make([][]part, len(l.faults))
		for f := range l.faults {
			for i, within := range stepsOf(l.additive(l.means(f, 2*pairLevels))) {
				p := part{step: within, alone: make(outcomes, len(l.trials)), slope: make([][unknowns]float64, len(l.trials))}
				for t, tr := range l.trials {
					p.alone[t], p.slope[t] = tr.FromAdditive(within.middle[t]), l.slopeAt(f, t, level(i))
				}
				parts[f] = append(parts[f], p)
			}
		}
		var all []pairing
		for a := range l.faults {
			for b := a + 1; b < len(l.faults); b++ {
				if p := (pairing{a, b}); len(l.scope.pairs(p)) > 0 {
					all = append(all, p)
				}
			}
		}
		const each = pairLevels * pairLevels
		sound := l.additive([]outcomes{l.sound.mean})[0]
		l.pairs.cells = make([]pairCell, each*len(all))
		// Nothing here can fail, or be stopped: who else waits for the pairs has a context of
		// his own.
		_, _ = batch.ForEach(context.Background(), len(all), nil, func(_ context.Context, k int) error {
			for i := range each {
				p := all[k]
				l.pairs.cells[each*k+i] = l.pairOf(p, i/pairLevels, i%pairLevels, &parts[p.a][i/pairLevels], &parts[p.b][i%pairLevels], sound)
			}
			return nil
		})
	})
}

// additive puts the outcomes of cars on the scale on which faults add up.
func (l *Library) additive(cars []outcomes) []outcomes {
	out := make([]outcomes, len(cars))
	for i, read := range cars {
		out[i] = make(outcomes, len(read))
		for t := range read {
			out[i][t] = l.trials[t].Additive(read[t])
		}
	}
	return out
}

// pairOf estimates two faults at levels i and j from each by itself.
func (l *Library) pairOf(p pairing, i, j int, a, b *part, sound outcomes) pairCell {
	n := len(l.trials)
	c := pairCell{
		pairing: p, severities: [2]float64{level(i), level(j)},
		point: &point{mean: make(outcomes, n), slope: make([][unknowns]float64, n)},
		added: make(outcomes, n), first: a.alone, second: b.alone,
	}
	for t, tr := range l.trials {
		va, vb := a.middle[t], b.middle[t]
		c.added[t] = va + vb - sound[t]
		c.mean[t] = tr.FromAdditive(c.added[t])
		for k := range countNuisances {
			c.slope[t][k] = tr.Felt(a.slope[t][k] + b.slope[t][k] - l.sound.slope[t][k])
		}
		c.slope[t][countNuisances] = withinStep * finite(tr.FromAdditive(a.high[t]+vb-sound[t])-tr.FromAdditive(a.low[t]+vb-sound[t]))
		c.slope[t][countNuisances+1] = withinStep * finite(tr.FromAdditive(va+b.high[t]-sound[t])-tr.FromAdditive(va+b.low[t]-sound[t]))
	}
	l.compare(&c)
	return c
}

// compare compares a pair with the sound car and with each of its faults alone.
func (l *Library) compare(c *pairCell) {
	left := 1.0
	take := func(other *point) float64 {
		share := left * likeness(l.gap(c.point, other))
		left -= share
		return share
	}
	c.as.sound = take(&l.sound)
	c.as.first = take(&point{mean: c.first})
	c.as.second = take(&point{mean: c.second})
	c.as.itself = left
}

func level(i int) float64 { return (float64(i) + 0.5) / pairLevels }

// corrected simulates the pairs of the best cells and returns a copy of all cells in which
// they are corrected.
func (l *Library) corrected(ctx context.Context, best []*pairCell) ([]pairCell, error) {
	type car struct{ pair, first, second int } // of the best, and two of the breakpoints
	var cars []car
	var orders []order
	for k, c := range best {
		for i, first := range pairBreakpoints {
			for j, second := range pairBreakpoints {
				cars = append(cars, car{k, i, j})
				orders = append(orders, order{soundCar.with(0, c.a, first).with(1, c.b, second), l.scope.pairs(c.pairing)})
			}
		}
	}
	read, err := l.fetch(ctx, orders, nil)
	if err != nil {
		return nil, err
	}
	found := make([]grid, len(best))
	for i, c := range cars {
		at := notDone(len(l.trials))
		for k, t := range orders[i].trials {
			at[t] = read[i][k]
		}
		found[c.pair][c.first+1][c.second+1] = at
	}
	cells := slices.Clone(l.pairs.cells)
	for k, c := range best {
		l.takeOff(cells, c.pairing, l.missed(c.pairing, &found[k]))
	}
	return cells, nil
}

// A grid has something for every trial at severity 0 and at the breakpoints of each of
// two faults.
type grid [len(pairBreakpoints) + 1][len(pairBreakpoints) + 1]outcomes

// at interpolates in both severities.
func (g *grid) at(a, b place, t int) float64 {
	row := func(i int) float64 {
		return (1-b.share)*g[i][b.below][t] + b.share*g[i][b.below+1][t]
	}
	return (1-a.share)*row(a.below) + a.share*row(a.below+1)
}

// missed is what the estimate of a pair misses at the breakpoints, with 0 where either
// severity is 0, on the scale on which faults add up.
func (l *Library) missed(p pairing, found *grid) *grid {
	var out grid
	for i := range out {
		for j := range out[i] {
			out[i][j] = make(outcomes, len(l.trials))
			if i == 0 || j == 0 {
				continue
			}
			a, b := l.outcomesAt(p.a, pairBreakpoints[i-1]), l.outcomesAt(p.b, pairBreakpoints[j-1])
			for t, tr := range l.trials {
				estimate := tr.Additive(a[t]) + tr.Additive(b[t]) - tr.Additive(l.sound.mean[t])
				out[i][j][t] = finite(tr.Additive(found[i][j][t]) - estimate)
			}
		}
	}
	return &out
}

// outcomesAt returns the outcomes of a fault, interpolated to a severity.
func (l *Library) outcomesAt(f int, severity float64) outcomes {
	return l.fine[f][int(math.Round(severity*compareSteps))]
}

// takeOff corrects all cells of a pair.
func (l *Library) takeOff(cells []pairCell, p pairing, misses *grid) {
	for i := range cells {
		c := &cells[i]
		if c.pairing != p {
			continue
		}
		a, b := placeOf(c.severities[0]), placeOf(c.severities[1])
		next := &point{mean: make(outcomes, len(c.mean)), slope: c.slope}
		for t, tr := range l.trials {
			next.mean[t] = tr.FromAdditive(c.added[t] + misses.at(a, b, t))
		}
		c.point = next
		l.compare(c)
	}
}

// A place is where a severity lies: the breakpoint below, counted from severity 0, and the
// share of the way to the next.
type place struct {
	below int
	share float64
}

// placeOf places a severity; beyond the last breakpoint it stays there.
func placeOf(severity float64) place {
	last := 0.0
	for i, k := range pairBreakpoints {
		if severity <= k {
			return place{i, (severity - last) / (k - last)}
		}
		last = k
	}
	return place{len(pairBreakpoints) - 1, 1}
}
