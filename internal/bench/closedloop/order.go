package main

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"math/bits"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/workshop"
)

func severityOf(f sim.Fault) float64 { return float64(workshop.SeverityOf(f)) }

// beam is how many sets of tests are followed at each length.
const beam = 4

// writeOrders compares the recommended tests with a fixed order of the same tests,
// chosen for the very cars that it is tried on. An order costs a car the tests of
// its prefixes that leave it uncertain; that is a sum over sets of tests, so two
// orders of one set need the better only. Of each length the best few sets are
// followed: what comes out is good, and not for certain the best of all.
func writeOrders(ctx context.Context, b *strings.Builder, l *loop, cars int) error {
	n := len(l.tests)
	const fresh = 1 << 20 // cars of another stretch of the fleet
	adaptive := make([]*trial, cars)
	err := onAllCores(cars, func(i int) (err error) {
		adaptive[i], err = l.one(ctx, fresh+i)
		return err
	})
	if err != nil {
		return err
	}
	type path struct {
		set   int
		cost  float64 // of the tests so far, over all cars
		left  int     // cars uncertain after them
		order []int
	}
	best := []path{{left: cars}}
	for range n {
		next := map[int]path{}
		for _, p := range best {
			for k := range n {
				set := p.set | 1<<k
				if set == p.set {
					continue
				}
				cost := p.cost + float64(p.left)
				if old, ok := next[set]; !ok || cost < old.cost {
					next[set] = path{set: set, cost: cost, order: append(slices.Clone(p.order), k)}
				}
			}
		}
		best = best[:0]
		for _, set := range slices.Sorted(maps.Keys(next)) {
			best = append(best, next[set])
		}
		err := onAllCores(len(best), func(i int) error {
			for _, t := range adaptive {
				d, err := l.library.Weigh(ctx, chosen(t.readings, best[i].set))
				if err != nil {
					return err
				}
				if surest(d) < certain {
					best[i].left++
				}
			}
			return nil
		})
		if err != nil {
			return err
		}
		slices.SortStableFunc(best, func(x, y path) int {
			return cmp.Compare(x.cost+float64(x.left), y.cost+float64(y.left))
		})
		best = best[:min(beam, len(best))]
	}
	var order []string
	for _, k := range best[0].order {
		order = append(order, short(l.tests[k]))
	}
	tests := 0.0
	for _, t := range adaptive {
		tests += float64(t.tests)
	}
	fmt.Fprintf(b, "\n## Tests needed, against a fixed order\n\n%d other cars on %s. To 95 %% certainty, or until nothing recommended is left, the recommended tests are\n"+
		"%.2f on average. The best fixed order of the same %d tests that a search over sets (the best %d of each size) finds, chosen with these very cars known, needs %.2f to the same certainty\n"+
		"(a car that never gets there counts with all; %d cars do not): %s.\n",
		cars, kinds[0], tests/float64(cars), n, beam, best[0].cost/float64(cars), best[0].left, strings.Join(order, ", "))
	return nil
}

// onAllCores calls do for 0 to n-1 and waits; the first error is returned.
func onAllCores(n int, do func(i int) error) error {
	var next atomic.Int64
	var group sync.WaitGroup
	var once sync.Once
	var failed error
	for range runtime.GOMAXPROCS(0) {
		group.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				if err := do(i); err != nil {
					once.Do(func() { failed = err })
					return
				}
			}
		})
	}
	group.Wait()
	return failed
}

func chosen(readings []scenario.Reading, set int) []scenario.Reading {
	out := make([]scenario.Reading, 0, bits.OnesCount(uint(set)))
	for k, r := range readings {
		if set&(1<<k) != 0 {
			out = append(out, r)
		}
	}
	return out
}

// short names a test in a list.
func short(r scenario.Reading) string {
	switch {
	case r.Test == scenario.LinePressure:
		return fmt.Sprintf("%s %.0f N %.0f kPa", r.Test, float64(r.Pedal), float64(r.Vacuum)/1e3)
	case r.Test == scenario.PedalTravel:
		return fmt.Sprintf("%s %.0f N %.0f kPa", r.Test, float64(r.Pedal), float64(r.Vacuum)/1e3)
	case r.Pedal > 0, r.Test == scenario.LeakDown:
		return fmt.Sprintf("%s %.0f N", r.Test, float64(r.Pedal))
	}
	return string(r.Test)
}
