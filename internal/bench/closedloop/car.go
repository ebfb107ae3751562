package main

import (
	"math"
	"math/rand/v2"

	"kneepoint/sim"
	"kneepoint/sim/diagnose"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
	"kneepoint/sim/workshop"
)

// What a synthetic car carries.
const (
	single  = "single fault"
	pair    = "pair of faults"
	outside = "fault not in the list"
	sound   = "no fault"
)

// A car is a synthetic one: what is wrong with it, and how its own figures and
// the instruments differ from what is written of it.
type car struct {
	kind string
	// name is what is wrong, in the names of a diagnosis.
	name   string
	faults []sim.Fault
	// nominal is the car as written, with what is wrong; own has its own figures too.
	nominal, own sim.Config
	gauges       workshop.Gauges
	rng          *rand.Rand
}

// How cars and readings are drawn: evenly between bounds, where a diagnosis
// takes figures as normally distributed.
const (
	areaBound     = 0.08
	volumeBound   = 0.15
	springBound   = 0.20
	fluidBound    = 0.15 // of each axle's take-up and give
	frictionBound = 2.0  // factor, either way, evenly over the logarithm
	biasBound     = 0.5 * float64(si.InchOfMercury)
	footBound     = 0.03
	leastSeverity = 0.05
)

// kindOf says what car number n carries: of any ten cars one has a pair, one a
// fault not in the list, and one in forty none.
func kindOf(n int) string {
	switch {
	case n%10 == 3:
		return pair
	case n%10 == 7:
		return outside
	case n%40 == 5:
		return sound
	}
	return single
}

// golden spreads successive numbers evenly between 0 and 1.
const golden = 0.6180339887498949

// stratum returns which fault the n-th car has, if a single one, so that all come
// round equally often, and a number between 0 and 1 for its severity, so that
// those of each fault lie evenly.
func stratum(n int, seed uint64, faults int) (fault int, share float64) {
	k := 0
	for i := range n {
		if kindOf(i) == single {
			k++
		}
	}
	fault = k % faults
	offset := rand.New(rand.NewPCG(seed, math.MaxUint64-uint64(fault))).Float64()
	_, share = math.Modf(offset + golden*float64(k/faults))
	return fault, share
}

// drawCar draws car number n of a fleet.
func drawCar(base *sim.Config, n int, seed uint64) *car {
	c := &car{rng: rand.New(rand.NewPCG(seed, uint64(n)))}
	c.nominal = *base
	c.nominal.Faults = nil
	names := sim.FaultNames()
	severity := func() si.Ratio { return si.Ratio(between(c.rng, leastSeverity, 1)) }
	c.kind = kindOf(n)
	switch c.kind {
	case pair:
		i, j := c.rng.IntN(len(names)), c.rng.IntN(len(names)-1)
		if j >= i {
			j++
		}
		c.add(workshop.FaultAt(names[min(i, j)], severity()))
		c.add(workshop.FaultAt(names[max(i, j)], severity()))
	case outside:
		o := oddities[c.rng.IntN(len(oddities))]
		c.name = o.name
		o.do(&c.nominal)
	case sound:
		c.name = diagnose.NoFault
	default:
		fault, share := stratum(n, seed, len(names))
		c.add(workshop.FaultAt(names[fault], si.Ratio(leastSeverity+(1-leastSeverity)*share)))
	}
	c.nominal.Faults = c.faults
	c.own = c.nominal
	c.spread()
	return c
}

func (c *car) add(f sim.Fault) {
	if c.name != "" {
		c.name += " + "
	}
	c.name += string(f.Name)
	c.faults = append(c.faults, f)
}

// oddities are faults that no diagnosis can name. Reaction disc, hub and plunger
// spring lie, in part, along figures that it takes to be far off when it judges
// whether something else is wrong; a lost circuit does not.
var oddities = []struct {
	name string
	do   func(*sim.Config)
}{
	{"reaction disc of the wrong ratio", func(c *sim.Config) { c.Booster.Ratio = 1 + 0.5*(c.Booster.Ratio-1) }},
	{"hub that sticks", func(c *sim.Config) { c.Booster.Friction = 250; c.Booster.Spring += 250 }},
	{"front circuit lost", func(c *sim.Config) { c.Front.Lost = true }},
	{"plunger spring far too stiff", func(c *sim.Config) { c.Booster.CutIn *= 3 }},
}

// spread gives the car figures of its own, and the instruments theirs.
func (c *car) spread() {
	b := &c.own.Booster
	area := func(a *si.Area) { *a *= si.Area(1 + between(c.rng, -areaBound, areaBound)) }
	area(&b.Area)
	area(&b.AirValve)
	area(&b.VacuumValve)
	area(&c.own.Hose.Area)
	b.FrontVolume *= si.Volume(1 + between(c.rng, -volumeBound, volumeBound))
	b.RearVolume *= si.Volume(1 + between(c.rng, -volumeBound, volumeBound))
	b.Spring *= si.Force(1 + between(c.rng, -springBound, springBound))
	b.SpringRate *= si.Stiffness(1 + between(c.rng, -springBound, springBound))
	friction := func(f *si.Force) {
		*f *= si.Force(math.Exp(between(c.rng, -1, 1) * math.Log(frictionBound)))
	}
	friction(&b.Friction)
	friction(&c.own.Master.Friction)
	// A hub that does not return is no car that was ever on the road.
	b.Spring = max(b.Spring, si.Force(0.75*float64(c.own.Ambient.Pressure)*float64(b.TailArea))+b.Friction)
	for _, circuit := range []*sim.Circuit{&c.own.Front, &c.own.Rear} {
		circuit.TakeUp *= si.Volume(1 + between(c.rng, -fluidBound, fluidBound))
		circuit.Compliance *= si.Compliance(1 + between(c.rng, -fluidBound, fluidBound))
	}
	c.gauges = workshop.Gauges{
		Vacuum: si.Vacuum(between(c.rng, -biasBound, biasBound)),
		Pedal:  si.Ratio(between(c.rng, -footBound, footBound)),
	}
}

// read is what a technician reads where the instruments show the outcome.
func (c *car) read(test scenario.Reading, outcome float64) scenario.Reading {
	half, step := workshop.GaugeOf(test)
	if trial, err := workshop.TrialOf(test); err == nil && trial.ByChance() {
		// The outcome is the chance of a yes.
		if c.rng.Float64() < outcome {
			return workshop.Record(test, 1)
		}
		return workshop.Record(test, 0)
	}
	switch test.Test {
	case scenario.StopsLeft:
		outcome += between(c.rng, -half, half)
	case scenario.PedalDropsOnStart, scenario.Hiss, scenario.IdleChanges:
		outcome += between(c.rng, -half, half)
	case scenario.ManifoldVacuum, scenario.BoosterVacuum:
		// The gauge's own error is in what it shows; what is left is the reading of it.
		outcome = math.Round((outcome+between(c.rng, -step, step))/step) * step
	default:
		outcome = math.Round((outcome+between(c.rng, -half, half))/step) * step
	}
	if test.Test != scenario.PressureCreep { // which may fall
		outcome = max(0, outcome)
	}
	if test.Test == scenario.LeakDown {
		outcome = min(outcome, float64(test.Start))
	}
	return workshop.Record(test, outcome)
}

func between(rng *rand.Rand, from, to float64) float64 { return from + (to-from)*rng.Float64() }
