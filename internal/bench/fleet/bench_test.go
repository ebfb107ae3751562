package fleet

import (
	"context"
	"flag"
	"math/rand/v2"
	"testing"

	"kneepoint/sim"
)

var (
	carSeed = flag.Uint64("car-seed", 1, "seed of the car that BenchmarkCar drives")
	carOf   = flag.Uint64("car", 28246, "number of the car that BenchmarkCar drives, as endure names it")
)

// BenchmarkCar drives one car of the fleet, unless told otherwise the dearest of the
// 100 000 that endure drove with seed 1:
//
//	go -C internal/bench test ./fleet -bench Car -car-seed 1 -car 1234
func BenchmarkCar(b *testing.B) {
	c, plan := Random(rand.New(rand.NewPCG(*carSeed, *carOf)))
	steps := 0
	for b.Loop() {
		m, err := sim.New(c)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := m.Run(context.Background(), plan); err != nil {
			b.Fatal(err)
		}
		steps = m.Stats().Steps
	}
	b.ReportMetric(float64(steps), "steps")
	b.ReportMetric(b.Elapsed().Seconds()/float64(b.N)/float64(plan.Until), "s/s")
}
