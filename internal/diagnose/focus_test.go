package diagnose

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"kneepoint/internal/workshop"
	"kneepoint/sim"
	"kneepoint/sim/si"
)

// What is simulated for some readings alone gives the answer that everything simulated does:
// the same chances, and a next test that is worth as much.
func TestFocusIsOnWhatMatters(t *testing.T) {
	if testing.Short() {
		t.Skip("it simulates many cars")
	}
	t.Parallel()
	whole := library(t)
	focused := *whole
	focused.focuses = true
	rng := rand.New(rand.NewPCG(16, 28))
	names := suspectsOf(&whole.config)
	const cars = 12
	worst := 0.0
	for n := range cars {
		var faults []sim.Fault
		for range min(n%4, 2) { // sound ones and pairs among them
			faults = append(faults, workshop.FaultAt(names[rng.IntN(len(names))], si.Ratio(rng.Float64())))
		}
		if len(faults) == 2 && faults[0].Name == faults[1].Name {
			faults = faults[:1]
		}
		places := rng.Perm(whole.menu)[:2+rng.IntN(6)]
		readings := exact(t, whole, faults, places...)
		all, some := weighed(t, whole, readings), weighed(t, &focused, readings)
		chances := map[string]float64{}
		for _, s := range all.Suspects {
			chances[s.Fault] = s.Probability
		}
		for _, s := range some.Suspects {
			if s.Fault == "other pairs" {
				continue
			}
			worst = max(worst, math.Abs(s.Probability-chances[s.Fault]))
		}
		assert.InDelta(t, all.Unexplained, some.Unexplained, 0.01)
		if all.Next == nil || some.Next == nil {
			assert.Equal(t, all.Next == nil, some.Next == nil, "%v", faults)
			continue
		}
		for _, other := range append(all.Others, *all.Next) {
			if other.trial == some.Next.trial {
				if off := all.Next.worth() - other.worth(); off > 0.1*all.Next.worth() {
					t.Errorf("%d: %s is worth %.4f a minute, %s %.4f (%v)", n, other.Test, other.worth(), all.Next.Test, all.Next.worth(), faults)
				}
			}
		}
	}
	t.Logf("chances differ by at most %.4f", worst)
	assert.Less(t, worst, 0.01)
}
