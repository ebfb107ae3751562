package main

import (
	"context"
	"fmt"
	"math"
	"math/bits"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/study"
)

func severityOf(f sim.Fault) float64 { return float64(study.SeverityOf(f)) }

// writeOrders compares the recommended tests with every fixed order of the same
// tests. An order costs a car the tests of its prefixes that leave it uncertain;
// that is a sum over sets of tests, so the best of all orders is found exactly by
// going through the sets.
func writeOrders(ctx context.Context, b *strings.Builder, l *loop, cars int) error {
	n := len(l.tests)
	// uncertain[set] counts the cars that are not certain after a set of tests.
	uncertain := make([]atomic.Int64, 1<<n)
	var next atomic.Int64
	var group sync.WaitGroup
	var once sync.Once
	var failed error
	const fresh = 1 << 20 // cars of another stretch of the fleet
	adaptive := make([]*trial, cars)
	for range runtime.GOMAXPROCS(0) {
		group.Go(func() {
			for i := int(next.Add(1)) - 1; i < cars; i = int(next.Add(1)) - 1 {
				err := func() error {
					t, err := l.one(ctx, fresh+i)
					if err != nil {
						return err
					}
					adaptive[i] = t
					for set := range 1 << n {
						d, err := l.library.Weigh(ctx, chosen(t.readings, set))
						if err != nil {
							return err
						}
						if surest(d) < certain {
							uncertain[set].Add(1)
						}
					}
					return nil
				}()
				if err != nil {
					once.Do(func() { failed = err })
					return
				}
			}
		})
	}
	group.Wait()
	if failed != nil {
		return failed
	}
	cost := make([]float64, 1<<n) // of the best order of a set's tests
	last := make([]int, 1<<n)
	for set := 1; set < 1<<n; set++ {
		cost[set] = math.Inf(1)
		for k := range n {
			if before := set &^ (1 << k); before != set {
				if c := cost[before] + float64(uncertain[before].Load()); c < cost[set] {
					cost[set], last[set] = c, k
				}
			}
		}
	}
	all := 1<<n - 1
	var order []string
	for set := all; set != 0; set &^= 1 << last[set] {
		order = append([]string{short(l.tests[last[set]])}, order...)
	}
	tests := 0.0
	for _, t := range adaptive {
		tests += float64(t.tests)
	}
	fmt.Fprintf(b, "\n## Tests needed, against fixed orders\n\n%d other cars on %s. To 95 %% certainty, or until nothing recommended is left, the recommended tests are\n"+
		"%.2f on average. The best of all %s fixed orders of the same %d tests, chosen with these very cars known, needs %.2f to the same certainty\n"+
		"(a car that never gets there counts with all; %d cars do not): %s.\n",
		cars, kinds[0], tests/float64(cars), factorial(n), n, cost[all]/float64(cars), uncertain[all].Load(), strings.Join(order, ", "))
	return nil
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

func factorial(n int) string {
	f := 1
	for k := 2; k <= n; k++ {
		f *= k
	}
	return fmt.Sprint(f)
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
