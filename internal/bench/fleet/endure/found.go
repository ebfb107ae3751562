package main

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"time"

	"kneepoint/internal/bench/fleet"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// outcome is what became of one car.
type outcome struct {
	car       int
	failed    error
	simulated si.Time
	steps     int
	took      time.Duration
}

// found adds up outcomes; however many cars there are, it stays small.
type found struct {
	mu         sync.Mutex
	seed       uint64
	first, end int
	next       int          // car to be given out
	done       int          // all cars before it have finished
	finished   map[int]bool // and these after it
	cars       int
	failed     int
	failures   []string
	steps      int
	simulated  si.Time
	most, slow outcome
	memory     []float64 // MB of live heap, from look to look
	began      time.Time
}

// mostFailures is how many are printed in full.
const mostFailures = 100

func (f *found) take() (car int, ok bool) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.next >= f.end {
		return 0, false
	}
	f.next++
	return f.next - 1, true
}

func (f *found) add(o outcome) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.finished[o.car] = true
	for f.finished[f.done] {
		delete(f.finished, f.done)
		f.done++
	}
	f.cars++
	f.steps += o.steps
	f.simulated += o.simulated
	if o.steps > f.most.steps {
		f.most = o
	}
	if o.took > f.slow.took {
		f.slow = o
	}
	if o.failed == nil {
		return
	}
	f.failed++
	if f.failed <= mostFailures {
		line := fmt.Sprintf("- car %d: %v", o.car, o.failed)
		f.failures = append(f.failures, line)
		fmt.Fprintln(os.Stderr, line)
	}
}

func (f *found) progress() string {
	live := liveHeap()
	f.mu.Lock()
	defer f.mu.Unlock()
	f.memory = append(f.memory, live)
	took := time.Since(f.began)
	left := time.Duration(float64(took) * float64(f.end-f.first-f.cars) / float64(max(1, f.cars)))
	return fmt.Sprintf("%d of %d cars, %d failures, worst %d steps, %.1f MB live, some %s left",
		f.cars, f.end-f.first, f.failed, f.most.steps, live, left.Round(time.Second))
}

// liveHeap is what is still held after a collection, in MB.
func liveHeap() float64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return float64(m.HeapAlloc) / 1e6
}

func (f *found) report() string {
	f.memory = append(f.memory, liveHeap())
	var b strings.Builder
	for _, line := range f.failures {
		b.WriteString(line + "\n")
	}
	fmt.Fprintf(&b, "%s: seed %d, %d random cars from %d on, %.0f s simulated in %d accepted steps, %.0f s of wall time on %d cores: %d failures\n",
		time.Now().Format(time.DateOnly), f.seed, f.cars, f.first, float64(f.simulated), f.steps, time.Since(f.began).Seconds(), runtime.GOMAXPROCS(0), f.failed)
	fmt.Fprintf(&b, "most steps: car %d, %d steps for %.0f s in %.2f s; slowest: car %d, %.2f s for %.0f s in %d steps\n",
		f.most.car, f.most.steps, float64(f.most.simulated), f.most.took.Seconds(), f.slow.car, f.slow.took.Seconds(), float64(f.slow.simulated), f.slow.steps)
	fmt.Fprintf(&b, "live memory: %.1f MB at the first look, %.1f MB at the last of %d\n", f.memory[0], f.memory[len(f.memory)-1], len(f.memory))
	if f.done < f.end {
		fmt.Fprintf(&b, "stopped; to go on: -seed %d -first %d -n %d\n", f.seed, f.done, f.end-f.done)
	}
	return b.String()
}

// write puts the hardest cars into a folder, as scenarios that "run" plays.
func (f *found) write(folder string) error {
	if f.cars == 0 {
		return nil
	}
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return err
	}
	for name, o := range map[string]outcome{"most-steps": f.most, "slowest": f.slow} {
		c, plan := fleet.Random(rand.New(rand.NewPCG(f.seed, uint64(o.car))))
		s, err := scenario.Of(fmt.Sprintf("seed %d, car %d: %d steps", f.seed, o.car, o.steps), c, plan)
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(folder, name+".toml"), []byte(s.Document()), 0o666); err != nil {
			return err
		}
	}
	return nil
}
