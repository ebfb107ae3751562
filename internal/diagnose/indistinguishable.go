package diagnose

import (
	"context"
	"maps"
	"math"
	"slices"

	"kneepoint/internal/batch"
	"kneepoint/internal/workshop"
	"kneepoint/sim"
)

// compareSteps is the number of steps of severity in which a fault is compared with
// another: small enough for neighbours to be alike.
const compareSteps = 20 * severities

// farApart is a gap beyond which it does not matter how wide it is.
const farApart = 3

// gap is how far apart two cars are in the test that tells them apart best of those
// that can be recommended, in half widths of its gauge's error; farApart at most.
func (l *Library) gap(a, b *point) float64 { return l.gapBelow(a, b, farApart) }

// gapBelow is the gap where it is below a limit, and otherwise the limit.
func (l *Library) gapBelow(a, b *point, limit float64) float64 {
	widest := 0.0
	for i, t := range l.trials[:l.menu] {
		u, v := a.mean[i], b.mean[i]
		if math.IsNaN(u) || math.IsNaN(v) {
			continue
		}
		if widest = max(widest, math.Abs(inGauges(t, u)-inGauges(t, v))); widest >= limit {
			return limit
		}
	}
	return widest
}

// inGauges is an outcome in half widths of its gauge's error.
func inGauges(t workshop.Trial, v float64) float64 {
	half, _ := t.Gauge()
	if at := t.YesFrom(); t.IsYesNo() && !t.ByChance() {
		// Beyond what a foot feels, by however much, the answer is the same.
		v = clamp(v, at-half, at+half)
	}
	return v / half
}

// inGauges is what a car reads in all tests that can be recommended.
func (l *Library) inGauges(p outcomes) outcomes {
	out := make(outcomes, l.menu)
	for i, t := range l.trials[:l.menu] {
		out[i] = inGauges(t, p[i])
	}
	return out
}

// indistinguishable reports whether no test tells two cars apart: every outcome differs by less
// than its gauge's error.
func (l *Library) indistinguishable(a, b *point) bool { return l.gapBelow(a, b, 1) < 1 }

// blur is by how much a gap may be less or more than 1 where a car counts in part as
// what it is like: chances would jump if the whole of it changed sides at 1.
const blur = 0.1

// likeness is how much of a car counts as another at a gap from it.
func likeness(gap float64) float64 { return clamp((1+blur-gap)/(2*blur), 0, 1) }

// gapTo is the gap to a fault of the severity from low to high that is nearest.
func (l *Library) gapTo(p *point, fault int, low, high float64) float64 {
	nearest := float64(farApart)
	mine := l.inGauges(p.mean)
	from, to := int(math.Ceil(low*compareSteps-1e-9)), int(math.Floor(high*compareSteps+1e-9))
	for _, other := range l.fineGauges[fault][max(0, from) : min(to, compareSteps)+1] {
		widest := 0.0
		for i, v := range mine {
			if d := math.Abs(v - other[i]); d > widest { // and not where there is no outcome
				if widest = d; d >= nearest {
					break
				}
			}
		}
		nearest = min(nearest, widest)
	}
	return nearest
}

// becomes reports whether a car is like a fault of some severity from low to high.
func (l *Library) becomes(p *point, fault int, low, high float64) bool {
	return l.gapTo(p, fault, low, high) < 1
}

// compareFaults compares every cell of a fault that is looked at closely with every other
// such fault.
func (l *Library) compareFaults() {
	closely := make([]bool, len(l.faults))
	for f := range closely {
		closely[f] = l.closely(f)
	}
	// Nothing here can fail, or be stopped.
	_, _ = batch.ForEach(context.Background(), len(l.cells), nil, func(_ context.Context, i int) error {
		c := &l.cells[i]
		c.fromFault = make([]float64, len(l.faults))
		for f := range l.faults {
			c.fromFault[f] = farApart
			if c.fault >= 0 && f != c.fault && closely[f] && closely[c.fault] {
				c.fromFault[f] = l.gapTo(&c.point, f, 0, 1)
			}
		}
		return nil
	})
}

// Indistinguishable says that no test tells one fault from another, or from a sound car.
type Indistinguishable struct {
	Fault string `json:"fault"`
	From  string `json:"from"`
	// Low and High are the severities of Fault over which that holds.
	Low  float64 `json:"severity_low"`
	High float64 `json:"severity_high"`
}

// Indistinguishable lists the faults that cannot be told from a sound car, or from another
// fault of some severity: every test that can be recommended differs by less than its
// gauge's error. Faults that the model has no difference between come first.
func (l *Library) Indistinguishable() []Indistinguishable {
	out := []Indistinguishable{}
	var faults []int
	for f := range l.faults {
		if l.closely(f) {
			faults = append(faults, f)
		}
	}
	for _, f := range faults {
		for _, same := range l.faults[f].names[1:] {
			out = append(out, Indistinguishable{string(same), string(l.faults[f].names[0]), 0, 1})
		}
	}
	for _, f := range faults {
		mine := l.cellsOf(f)
		report := func(from string, beyond func(c *cell) float64) {
			if low, high, found := insideOf(mine, beyond); found {
				out = append(out, Indistinguishable{string(l.faults[f].names[0]), from, low, high})
			}
		}
		report(NoFault, func(c *cell) float64 { return c.fromSound - 1 })
		for _, g := range faults {
			// Where nothing shows, that is all there is to say.
			report(string(l.faults[g].names[0]), func(c *cell) float64 { return max(c.fromFault[g]-1, 1-c.fromSound) })
		}
	}
	return out
}

// insideOf returns the least and the greatest severity at which a fault is inside of
// a limit, with straight lines between its cells.
func insideOf(cells []cell, beyond func(*cell) float64) (low, high float64, found bool) {
	first, last := -1, -1
	for i := range cells {
		if beyond(&cells[i]) < 0 {
			if first < 0 {
				first = i
			}
			last = i
		}
	}
	if first < 0 {
		return 0, 0, false
	}
	// limit is where the way from a cell inside to one outside comes to the limit.
	limit := func(inside, outside int) float64 {
		a, b := &cells[inside], &cells[outside]
		return a.severity + (b.severity-a.severity)*beyond(a)/(beyond(a)-beyond(b))
	}
	high = 1
	if first > 0 {
		low = limit(first, first-1)
	}
	if last < len(cells)-1 {
		high = limit(last, last+1)
	}
	return low, high, true
}

// IndistinguishableFrom returns the names of all that a car counts as: every fault, and
// NoFault, from which no test tells it. The car is the library's
// own with something wrong with it, and nothing else changed.
func (l *Library) IndistinguishableFrom(ctx context.Context, c sim.Config) ([]string, error) {
	rig := workshop.NewRig(c, l.reserve, workshop.Gauges{})
	p := point{mean: make(outcomes, l.menu)}
	for i, t := range l.trials[:l.menu] {
		v, err := rig.Try(ctx, t)
		if err != nil {
			return nil, err
		}
		p.mean[i] = v
	}
	seen := map[string]bool{}
	if l.indistinguishable(&p, &l.sound) {
		seen[NoFault] = true
	}
	for f := range l.faults {
		if l.becomes(&p, f, 0, 1) {
			for _, name := range l.faults[f].names {
				seen[string(name)] = true
			}
		}
	}
	return slices.Sorted(maps.Keys(seen)), nil
}
