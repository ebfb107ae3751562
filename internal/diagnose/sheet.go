package diagnose

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"

	"kneepoint/internal/batch"
	"kneepoint/internal/portable"
	"kneepoint/internal/workshop"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// Sheet returns a sheet to print and fill in: the car, then the tests in the
// order that tells most for the time they take. Every test is a commented
// [[reading]] entry; with the comment signs of the tests that were done taken
// away, and figures in place of the blanks, it is a scenario to diagnose.
func Sheet(ctx context.Context, s *scenario.Scenario, u si.System, progress batch.Progress) (string, error) {
	l, err := NewLibrary(ctx, s, nil, progress)
	if err != nil {
		return "", err
	}
	bare, err := s.Edit(nil, "reading", "fault")
	if err != nil {
		return "", err
	}
	var b strings.Builder
	b.WriteString("# Readings of: " + oneLine(orBuiltIn(s.Title)) + "\n#\n" +
		"# Do the tests from the top; after any of them `diagnose` can say more. For a\n" +
		"# test that was done, write what was read in place of the blank and take the #\n" +
		"# from its lines that hold no words. Minutes are estimates.\n#\n" +
		"# " + diagnosisCaution + "\n\n")
	b.WriteString(strings.TrimRight(bare.String(), "\n") + "\n")
	fitted := false
	for i, t := range l.order() {
		fmt.Fprintf(&b, "\n# %d. %s, about %.0f min\n# %s\n", i+1, upperFirst(t.Words(u)), t.Minutes(fitted), t.How(u))
		fitted = fitted || t.NeedsLine()
		for _, line := range t.Blanks(u) {
			b.WriteString("#" + line + "\n")
		}
	}
	return b.String(), nil
}

func orBuiltIn(title string) string {
	if title == "" {
		return "a car without a title"
	}
	return title
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// sheetSeed draws those cars.
const sheetSeed = 20261125

// sheetCars is how many cars are drawn to put the tests in order.
const sheetCars = 96

// order puts the tests into the fixed order that tells most for each minute on
// average over cars with faults drawn from what is believed at first.
func (l *Library) order() []workshop.Trial {
	type car struct {
		readings []float64
		cells    []belief
	}
	rng := rand.New(rand.NewPCG(sheetSeed, 77))
	singles := len(l.cells)
	priors := make([]float64, singles)
	for i := range l.cells {
		priors[i] = priorSound
		if f := l.cells[i].fault; f >= 0 {
			priors[i] = (1 - priorSound) * l.faults[f].often / severities
		}
	}
	var left []int
	for i := range l.trials[:l.menu] {
		if !math.IsNaN(l.sound.mean[i]) && l.canDo(l.trials[i]) {
			left = append(left, i)
		}
	}
	cars := make([]car, sheetCars)
	for n := range cars {
		c := &cars[n]
		truth := draw(priors, (float64(n)+rng.Float64())/sheetCars)
		var z [unknowns]float64
		for k := range z {
			z[k] = rng.NormFloat64()
		}
		p := &l.cells[truth].point
		c.readings = make([]float64, l.menu)
		for _, i := range left {
			t := l.trials[i]
			v := p.mean[i]
			for k, s := range p.slope[i] {
				v += s * z[k]
			}
			v += rng.NormFloat64() * math.Sqrt(t.Unlike(p.mean[i])+t.Scatter(0))
			switch {
			case t.ByChance():
				v = map[bool]float64{true: 1, false: 0}[rng.Float64() < p.mean[i]]
			case t.IsYesNo():
				v = map[bool]float64{true: 1, false: 0}[v >= t.YesFrom()]
			}
			c.readings[i] = v
		}
		c.cells = make([]belief, singles)
		for i := range c.cells {
			c.cells[i] = newBelief()
		}
	}
	take := func(c *car, trial int, into []belief) {
		t := l.trials[trial]
		r := taken{trial: t, at: trial, value: c.readings[trial], scatter: t.Scatter(0)}
		copy(into, c.cells)
		for i := range into {
			into[i].update(&r, &l.cells[i].point)
		}
	}
	scratch := make([]belief, singles)
	var order []workshop.Trial
	fitted := false
	now := l.entropy(priors, cars[0].cells) // the same for all before any reading
	for len(left) > 0 {
		best, bestRate, bestLeft := 0, math.Inf(-1), 0.0
		for k, i := range left {
			mean := 0.0
			for n := range cars {
				take(&cars[n], i, scratch)
				mean += l.entropy(priors, scratch) / sheetCars
			}
			if rate := (now - mean) / l.trials[i].Minutes(fitted); rate > bestRate {
				best, bestRate, bestLeft = k, rate, mean
			}
		}
		i := left[best]
		for n := range cars {
			take(&cars[n], i, scratch)
			copy(cars[n].cells, scratch)
		}
		now = bestLeft
		fitted = fitted || l.trials[i].NeedsLine()
		order = append(order, l.trials[i])
		left = append(left[:best], left[best+1:]...)
	}
	return order
}

// draw returns the index at which the running sum of weights passes u.
func draw(weights []float64, u float64) int {
	for i, w := range weights {
		if u -= w; u < 0 {
			return i
		}
	}
	return len(weights) - 1
}

// entropy is that of the class, in bits.
func (l *Library) entropy(priors []float64, cells []belief) float64 {
	top := math.Inf(-1)
	for i := range cells {
		top = max(top, cells[i].log)
	}
	sums := make([]float64, len(l.faults)+1)
	all := 0.0
	for i := range cells {
		w := priors[i] * portable.Exp(cells[i].log-top)
		silent := likeness(l.cells[i].fromSound)
		sums[0] += w * silent
		sums[l.cells[i].fault+1] += w * (1 - silent)
		all += w
	}
	bits := 0.0
	for _, s := range sums {
		if s > 0 {
			bits -= s / all * portable.Log2(s/all)
		}
	}
	return bits
}
