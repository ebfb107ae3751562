// Command endure drives random cars from all over the range of the model and
// says how many the solver finished, and where it stopped in the others. The same
// seed drives the same cars.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/signal"
	"runtime"
	"sync"
	"sync/atomic"
	"time"

	"kneepoint/internal/fleet"
	"kneepoint/sim"
	"kneepoint/sim/si"
)

func main() {
	n := flag.Int("n", 10_000, "how many cars")
	seed := flag.Uint64("seed", 1, "which cars")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if !endure(ctx, *n, *seed) {
		os.Exit(1)
	}
}

// outcome is what became of one car.
type outcome struct {
	failed    error
	simulated si.Time
	steps     int
}

func endure(ctx context.Context, n int, seed uint64) bool {
	outcomes := make([]outcome, n)
	var next atomic.Int64
	var group sync.WaitGroup
	began := time.Now()
	for range runtime.GOMAXPROCS(0) {
		group.Go(func() {
			for ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				outcomes[i] = drive(ctx, i, seed)
			}
		})
	}
	group.Wait()
	return report(outcomes, seed, time.Since(began))
}

func drive(ctx context.Context, i int, seed uint64) outcome {
	config, schedule := fleet.Random(rand.New(rand.NewPCG(seed, uint64(i))))
	m, err := sim.New(config)
	if err != nil {
		return outcome{failed: err}
	}
	t, err := m.Run(ctx, schedule)
	if err == nil && t.Until() != schedule.Until {
		err = errors.New("the run ended early")
	}
	return outcome{err, schedule.Until, m.Stats().Steps}
}

func report(outcomes []outcome, seed uint64, took time.Duration) bool {
	failed, steps, simulated := 0, 0, si.Time(0)
	for i, o := range outcomes {
		steps += o.steps
		simulated += o.simulated
		if o.failed != nil {
			failed++
			fmt.Printf("- car %d: %v\n", i, o.failed)
		}
	}
	fmt.Printf("%s: seed %d, %d random cars, %.0f s simulated in %d accepted steps, %.0f s of wall time on %d cores: %d failures\n",
		time.Now().Format(time.DateOnly), seed, len(outcomes), float64(simulated), steps, took.Seconds(), runtime.GOMAXPROCS(0), failed)
	return failed == 0
}
