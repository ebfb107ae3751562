package diagnose

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"kneepoint/sim"
)

// pairsSimulated is how many pairs are simulated for a set of readings: those
// that come nearest to it by the estimate from their parts.
const pairsSimulated = 12

// A leak that a free hose outruns is no complaint, and stays until the hose narrows: of cars
// with one of the narrowings one in ten has it (estimate). Below this severity it takes some
// inches of mercury in a quarter of a minute, and nobody notices.
const (
	quietLeak  = 0.1
	quietBelow = 0.25
)

// narrows are the faults that narrow the way on which air is drawn off, and letsIn those that
// let some into it: the one shows in a needle at rest only by the other, so that nothing is
// seen of the two together by either alone.
var (
	narrows = []sim.FaultName{sim.FaultHoseRestricted, sim.FaultCheckValveStuck}
	letsIn  = []sim.FaultName{sim.FaultHoseLeak, sim.FaultFrontShellLeak, sim.FaultAirSeatLeak}
)

// inOneStream tells which of a pair narrows the way of the air that the other lets in; what
// leaks before a check valve does not pass it.
func (l *Library) inOneStream(p pairing) (narrow, leak int, ok bool) {
	is := func(f int, names []sim.FaultName) bool { return slices.Contains(names, l.faults[f].names[0]) }
	for _, side := range [][2]int{{p.a, p.b}, {p.b, p.a}} {
		narrow, leak = side[0], side[1]
		if is(narrow, narrows) && is(leak, letsIn) {
			before := is(narrow, []sim.FaultName{sim.FaultCheckValveStuck}) && is(leak, []sim.FaultName{sim.FaultHoseLeak})
			return narrow, leak, !before
		}
	}
	return noFault, noFault, false
}

// quiet is how likely a cell of a pair is beyond two faults that came by chance: a leak that
// nobody noticed before its way was narrowed, so far that it shows, and is what is complained of.
func (l *Library) quiet(c *pairCell, single float64) float64 {
	narrow, leak, ok := l.inOneStream(c.pairing)
	severity := c.severities[0]
	if leak == c.b {
		severity = c.severities[1]
	}
	if !ok || severity >= quietBelow {
		return 0
	}
	all := 0.0
	for f := range l.faults {
		if slices.Contains(letsIn, l.faults[f].names[0]) {
			all += l.faults[f].often
		}
	}
	const cells = pairLevels * pairLevels * quietBelow
	return single * l.faults[narrow].often * quietLeak * l.faults[leak].often / all / cells * c.as.itself * l.complained(narrow)
}

// adds reports whether a pair can read as neither of its faults does by itself: either moves
// a reading, or one is in the other's way.
func (l *Library) adds(c *pairCell, readings []taken) bool {
	if _, _, ok := l.inOneStream(c.pairing); ok {
		return true
	}
	moves := func(alone outcomes) bool {
		return slices.ContainsFunc(readings, func(r taken) bool {
			half, _ := r.trial.Gauge()
			return math.Abs(alone[r.at]-l.sound.mean[r.at]) > half/4
		})
	}
	return moves(c.first) && moves(c.second)
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
