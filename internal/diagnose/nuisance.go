package diagnose

import (
	"kneepoint/internal/portable"
	"kneepoint/internal/workshop"
	"kneepoint/sim"
	"kneepoint/sim/si"
)

// A nuisance is a figure of the car or of the instruments that is not known
// exactly and that no diagnosis is after. It is taken as normally distributed.
type nuisance struct {
	name string
	// shift moves the figure by z standard deviations.
	shift func(c *sim.Config, g *workshop.Gauges, z float64)
}

// How far a real car's figures lie from those of its scenario, and instruments
// from the truth: standard deviations (estimates).
const (
	areaSpread     = 0.05
	volumeSpread   = 0.09
	springSpread   = 0.12
	frictionSpread = 0.40 // of the logarithm
	sourceSpread   = 0.015
	biasSpread     = 0.3 * float64(si.InchOfMercury)
	footSpread     = 0.03
	fluidSpread    = 0.08 // of what the brakes take up and give
)

// noNuisance stands where none is moved.
const noNuisance = -1

// countNuisances is the length of nuisances. What is unknown under one cell is
// beside them where within its step of severity each of up to two faults lies.
const (
	countNuisances = 8
	unknowns       = countNuisances + 2
)

var nuisances = [countNuisances]nuisance{
	{"diaphragm area", func(c *sim.Config, _ *workshop.Gauges, z float64) {
		c.Booster.Area *= si.Area(portable.Exp(areaSpread * z))
	}},
	{"chamber volumes", func(c *sim.Config, _ *workshop.Gauges, z float64) {
		k := si.Volume(portable.Exp(volumeSpread * z))
		c.Booster.FrontVolume *= k
		c.Booster.RearVolume *= k
	}},
	{"return spring", func(c *sim.Config, _ *workshop.Gauges, z float64) {
		k := portable.Exp(springSpread * z)
		c.Booster.Spring *= si.Force(k)
		c.Booster.SpringRate *= si.Stiffness(k)
	}},
	{"friction", func(c *sim.Config, _ *workshop.Gauges, z float64) {
		k := si.Force(portable.Exp(frictionSpread * z))
		c.Booster.Friction *= k
		c.Master.Friction *= k
	}},
	{"source", func(c *sim.Config, _ *workshop.Gauges, z float64) {
		c.Source.Vacuum *= si.Vacuum(1 + sourceSpread*z)
	}},
	{"vacuum gauge", func(_ *sim.Config, g *workshop.Gauges, z float64) {
		g.Vacuum += si.Vacuum(biasSpread * z)
	}},
	{"pedal force", func(_ *sim.Config, g *workshop.Gauges, z float64) {
		g.Pedal += si.Ratio(footSpread * z)
	}},
	{"brake fluid taken", func(c *sim.Config, _ *workshop.Gauges, z float64) {
		k := portable.Exp(fluidSpread * z)
		for _, circuit := range []*sim.Circuit{&c.Front, &c.Rear} {
			circuit.TakeUp *= si.Volume(k)
			circuit.Compliance *= si.Compliance(k)
		}
	}},
}

// keepReturning leaves the return spring strong enough to bring the hub back: a
// weaker draw is no car that was ever on the road.
func keepReturning(c *sim.Config) {
	least := si.Force(0.75*float64(c.Ambient.Pressure)*float64(c.Booster.TailArea)) + c.Booster.Friction
	c.Booster.Spring = max(c.Booster.Spring, least)
}
