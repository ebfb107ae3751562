package main

import (
	"math"
	"math/rand/v2"
	"strings"

	"kneepoint/internal/diagnose"
	"kneepoint/internal/workshop"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// What a synthetic car carries.
const (
	single  = "single fault"
	pair    = "pair of faults"
	outside = "fault not in the list"
	sound   = "no fault"
)

// A car is a synthetic one: what is wrong with it, how its own figures differ from what is
// written of it, who drives it and who looks at it.
type car struct {
	kind string
	// name is what is wrong, in the names of a diagnosis.
	name   string
	faults []sim.Fault
	// nominal is the car as written, with what is wrong; own has its own figures too, and
	// before is that with nothing wrong.
	nominal, own, before sim.Config
	// shows are the signs that this car has, seen or not.
	shows      map[scenario.Test]bool
	rearDrags  bool
	strange    bool
	technician technician
	rng        *rand.Rand
}

// How cars are drawn: evenly between bounds, where a diagnosis takes figures as normally
// distributed.
const (
	areaBound     = 0.08
	volumeBound   = 0.15
	springBound   = 0.20
	fluidBound    = 0.15 // of each axle's take-up and give
	frictionBound = 2.0  // factor, either way, evenly over the logarithm
	sourceBound   = 0.03
	leastSeverity = 0.05
)

// kindOf says what car number n carries: of any twenty cars three have a pair, two a fault
// not in the list, and two none.
func kindOf(n int) string {
	switch n % 20 {
	case 3, 9, 16:
		return pair
	case 7, 14:
		return outside
	case 5, 11:
		return sound
	}
	return single
}

// numberOfSingle is the number of the n-th car with a single fault, from 0.
func numberOfSingle(n int) int {
	for i := 0; ; i++ {
		if kindOf(i) != single {
			continue
		}
		if n--; n < 0 {
			return i
		}
	}
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
	// Another kind of car begins with another fault.
	fault = (k + int(seed%uint64(faults))*7) % faults
	offset := rand.New(rand.NewPCG(seed, math.MaxUint64-uint64(fault))).Float64()
	_, share = math.Modf(offset + golden*float64(k/faults))
	return fault, share
}

// drawCar draws car number n of a fleet, with faults out of some. Draw tells apart several
// draws of the figures of one car.
func drawCar(base *sim.Config, n int, seed uint64, names []sim.FaultName, draw uint64) *car {
	c := &car{rng: rand.New(rand.NewPCG(seed, uint64(n))), shows: map[scenario.Test]bool{}}
	c.nominal = *base
	c.nominal.Faults = nil
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
		for _, sign := range o.shows {
			c.shows[sign] = true
		}
		c.rearDrags, c.strange = o.rearDrags, o.strange
	case sound:
		c.name = diagnose.NoFault
	default:
		fault, share := stratum(n, seed, len(names))
		c.add(workshop.FaultAt(names[fault], si.Ratio(leastSeverity+(1-leastSeverity)*share)))
	}
	c.nominal.Faults = c.faults
	c.own, c.before = c.nominal, *base
	c.before.Faults = nil
	for _, config := range []*sim.Config{&c.own, &c.before} {
		spread(config, rand.New(rand.NewPCG(seed+draw<<32, math.MaxUint64-uint64(n))))
	}
	c.showSigns()
	c.technician = drawTechnician(c.rng)
	return c
}

func (c *car) add(f sim.Fault) {
	c.faults = append(c.faults, f)
	var names []string
	for _, f := range c.faults {
		names = append(names, string(f.Name))
	}
	c.name = strings.Join(names, " + ")
}

// An oddity is a fault that no diagnosis can name: parameters that no listed fault moves,
// or signs that no listed fault explains.
type oddity struct {
	name      string
	do        func(*sim.Config)
	shows     []scenario.Test
	rearDrags bool
	strange   bool
}

// Most lie, in part, along figures that a diagnosis takes to be far off, or other faults that it
// thinks of, when it judges whether something else is wrong: what they are called is not its to
// say, but it can know them again. The strange ones lie along none.
var oddities = []oddity{
	{name: "reaction disc of the wrong ratio", do: func(c *sim.Config) { c.Booster.Ratio = 1 + 0.5*(c.Booster.Ratio-1) }},
	{name: "hub that sticks", do: func(c *sim.Config) { c.Booster.Friction = 250; c.Booster.Spring += 250 }},
	{name: "plunger spring far too stiff", do: func(c *sim.Config) { c.Booster.CutIn *= 3 }},
	{name: "front circuit lost", do: func(c *sim.Config) { c.Front.Lost = true }, shows: []scenario.Test{scenario.FluidLevel}},
	{name: "rear circuit lost", do: func(c *sim.Config) { c.Rear.Lost = true }, shows: []scenario.Test{scenario.FluidLevel}},
	{name: "seals swollen by oil in the fluid", do: func(c *sim.Config) { c.Master.Friction = 6*c.Master.Friction + 150 }},
	{name: "loose wheel bearing knocks the pads back", do: func(c *sim.Config) { c.Front.TakeUp += 5e-6 }, shows: []scenario.Test{scenario.PumpUp}},
	{name: "parking-brake cable stuck", do: func(*sim.Config) {}, rearDrags: true},
	{name: "pads worn to a taper", do: func(c *sim.Config) { c.Front.Compliance *= 2.5; c.Front.TakeUp += 2e-6 }, shows: []scenario.Test{scenario.PedalFeel}, strange: true},
	{name: "cracked rear drum", do: func(c *sim.Config) { c.Rear.Compliance *= 4 }, shows: []scenario.Test{scenario.PedalFeel}, strange: true},
	{name: "residual valve left before the discs", do: func(c *sim.Config) { c.Car.ResidualFront = 70e3 }, shows: []scenario.Test{scenario.WheelDrags}, strange: true},
}

// spread gives a car figures of its own.
func spread(c *sim.Config, rng *rand.Rand) {
	b := &c.Booster
	area := func(a *si.Area) { *a *= si.Area(1 + between(rng, -areaBound, areaBound)) }
	area(&b.Area)
	area(&b.AirValve)
	area(&b.VacuumValve)
	area(&c.Hose.Area)
	b.FrontVolume *= si.Volume(1 + between(rng, -volumeBound, volumeBound))
	b.RearVolume *= si.Volume(1 + between(rng, -volumeBound, volumeBound))
	b.Spring *= si.Force(1 + between(rng, -springBound, springBound))
	b.SpringRate *= si.Stiffness(1 + between(rng, -springBound, springBound))
	friction := func(f *si.Force) {
		*f *= si.Force(math.Exp(between(rng, -1, 1) * math.Log(frictionBound)))
	}
	friction(&b.Friction)
	friction(&c.Master.Friction)
	c.Source.Vacuum *= si.Vacuum(1 + between(rng, -sourceBound, sourceBound))
	// A hub that does not return is no car that was ever on the road.
	b.Spring = max(b.Spring, si.Force(0.75*float64(c.Ambient.Pressure)*float64(b.TailArea))+b.Friction)
	for _, circuit := range []*sim.Circuit{&c.Front, &c.Rear} {
		circuit.TakeUp *= si.Volume(1 + between(rng, -fluidBound, fluidBound))
		circuit.Compliance *= si.Compliance(1 + between(rng, -fluidBound, fluidBound))
	}
}

func between(rng *rand.Rand, from, to float64) float64 { return from + (to-from)*rng.Float64() }
