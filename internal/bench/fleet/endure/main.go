// Command endure drives random cars from all over the range of the model and
// says how many the solver finished, where it stopped in the others, and which was
// the hardest. The same seed drives the same cars. An interrupt ends it with what
// was found so far, and the flag to go on with.
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
	"syscall"
	"time"

	"kneepoint/internal/bench/fleet"
	"kneepoint/sim"
)

func main() {
	n := flag.Int("n", 10_000, "how many cars")
	first := flag.Int("first", 0, "number of the first car")
	seed := flag.Uint64("seed", 1, "which cars")
	hardest := flag.String("hardest", "", "write the car with the most steps, and the slowest, as scenarios into this `folder`")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	f := &found{seed: *seed, first: *first, next: *first, end: *first + *n, began: time.Now(), finished: map[int]bool{}, done: *first}
	f.drive(ctx)
	fmt.Print(f.report())
	if *hardest != "" {
		if err := f.write(*hardest); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
	}
	if f.failed > 0 || f.done < f.end {
		os.Exit(1)
	}
}

// drive gives cars to every core until none is left or the context ends.
func (f *found) drive(ctx context.Context) {
	var group sync.WaitGroup
	over := make(chan struct{})
	for range runtime.GOMAXPROCS(0) {
		group.Go(func() {
			for ctx.Err() == nil {
				i, ok := f.take()
				if !ok {
					return
				}
				if o := driveOne(ctx, f.seed, i); ctx.Err() == nil {
					f.add(o)
				}
			}
		})
	}
	go func() {
		group.Wait()
		close(over)
	}()
	const often = 10 * time.Second
	tick := time.NewTicker(often)
	defer tick.Stop()
	for {
		select {
		case <-over:
			return
		case <-tick.C:
			fmt.Fprintln(os.Stderr, f.progress())
		}
	}
}

func driveOne(ctx context.Context, seed uint64, i int) outcome {
	config, schedule := fleet.Random(rand.New(rand.NewPCG(seed, uint64(i))))
	m, err := sim.New(config)
	if err != nil {
		return outcome{car: i, failed: err}
	}
	began := time.Now()
	t, err := m.Run(ctx, schedule)
	if err == nil && t.Until() != schedule.Until {
		err = errors.New("the run ended early")
	}
	return outcome{i, err, schedule.Until, m.Stats().Steps, time.Since(began)}
}
