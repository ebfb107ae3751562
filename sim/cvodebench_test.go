//go:build sundials

package sim

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"

	"kneepoint/internal/cvode"
)

// equalError is the worst error of the stored vacuum, in Pa, at which the costs are
// compared: about that of the default tolerance.
const equalError = 2.0

// contender is an integrator at several tolerances.
type contender struct {
	rels   []float64
	errors []float64
	best   []time.Duration
	run    func(rel float64)
}

func (c *contender) round() {
	for i, rel := range c.rels {
		start := time.Now()
		c.run(rel)
		if d := time.Since(start); c.best[i] == 0 || d < c.best[i] {
			c.best[i] = d
		}
	}
}

// at returns the cost for an error, in s, from a straight line through the
// logarithms: the error of a single tolerance is too much a matter of luck.
func (c *contender) at(err float64) float64 {
	var x, y []float64
	for i := range c.rels {
		x = append(x, math.Log(c.errors[i]))
		y = append(y, math.Log(c.best[i].Seconds()))
	}
	a, b := stat.LinearRegression(x, y, nil, false)
	return math.Exp(a + b*math.Log(err))
}

// BenchmarkAgainstCVODE reports the project's time over CVODE's at equal error, for
// 64 s with eight stops at 200 N, interleaved, the best of all rounds each. In
// ours/CVODE the time that CVODE's calls of the right-hand side spend crossing from
// C to Go is taken off; ours/CVODE-as-run leaves it in. Neither side samples.
func BenchmarkAgainstCVODE(b *testing.B) {
	for _, c := range []comparison{comparisons()[1], comparisons()[3]} {
		b.Run(c.name, func(b *testing.B) {
			settled := settledAt(b, c.config)
			s := stretchesOf(b, c, ours(b, c, settled, DefaultTolerance))
			times := grid()
			reference := s.observed(b, settled.y, referenceRel, times)

			us := &contender{rels: []float64{3.2e-4, 1e-4, 3.2e-5, 1e-5}}
			models := map[float64]*Model{}
			for _, rel := range us.rels {
				us.errors = append(us.errors, differ(sampled(ours(b, c, settled, rel), times), reference).vacuum.most)
				m, err := New(c.config, Tolerance(rel))
				require.NoError(b, err)
				models[rel] = m
			}
			us.run = func(rel float64) { settled.on(models[rel]).drive(b, c.schedule) }

			them := &contender{rels: []float64{3.2e-5, 1e-5, 3.2e-6, 1e-6}}
			calls := map[float64]int{}
			for _, rel := range them.rels {
				them.errors = append(them.errors, differ(s.observed(b, settled.y, rel, times), reference).vacuum.most)
				_, stats := s.cvode(b, settled.y, rel, nil)
				calls[rel] = stats.Rates
			}
			them.run = func(rel float64) { s.cvode(b, settled.y, rel, nil) }
			us.best, them.best = make([]time.Duration, len(us.rels)), make([]time.Duration, len(them.rels))

			for b.Loop() {
				us.round()
				them.round()
			}

			crossing, err := cvode.Overhead(1_000_000)
			require.NoError(b, err)
			for i, rel := range us.rels {
				b.Logf("ours  %.1e: %.1e kPa, %v", rel, us.errors[i]/1e3, us.best[i])
			}
			for i, rel := range them.rels {
				b.Logf("CVODE %.1e: %.1e kPa, %v, %d calls", rel, them.errors[i]/1e3, them.best[i], calls[rel])
			}
			asRun := us.at(equalError) / them.at(equalError)
			for i, rel := range them.rels {
				them.best[i] -= time.Duration(calls[rel]) * crossing
			}
			b.ReportMetric(asRun, "ours/CVODE-as-run")
			b.ReportMetric(us.at(equalError)/them.at(equalError), "ours/CVODE")
			b.ReportMetric(1e3*us.at(equalError), "ms-ours")
			b.ReportMetric(1e3*them.at(equalError), "ms-CVODE")
			b.ReportMetric(float64(crossing.Nanoseconds()), "ns-crossing")
		})
	}
}

// BenchmarkRatesSeenByCVODE is the cost of one right-hand side, on which the ratio hangs.
func BenchmarkRatesSeenByCVODE(b *testing.B) {
	c := comparisons()[1]
	settled := settledAt(b, c.config)
	s := stretchesOf(b, c, ours(b, c, settled, DefaultTolerance))
	ys, _ := s.cvode(b, settled.y, 1e-6, []float64{1})
	dy := make([]float64, len(ys[0]))
	for b.Loop() {
		s.rates(1, ys[0], dy)
	}
}
