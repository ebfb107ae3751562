package study

import (
	"math"
	"math/rand/v2"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

// geometry returns a sound car on a bench, with a booster and brakes from all
// over the range of the trade.
func geometry(seed uint64) sim.Config {
	rng := rand.New(rand.NewPCG(seed, 1))
	between := func(from, to float64) float64 { return from + (to-from)*rng.Float64() }
	c := sim.Typical()
	b := &c.Booster
	b.Diameters = nil
	b.Area = si.Area(between(0.02, 0.08))
	b.FrontVolume, b.RearVolume = sim.VolumesOf(b.Area, b.Stroke)
	b.FrontVolume *= si.Volume(between(0.8, 1.3))
	b.RearVolume *= si.Volume(between(0.6, 1.5))
	b.Ratio = si.Ratio(between(3, 9))
	b.JumpIn = si.Force(between(300, 800))
	b.CutIn = si.Force(between(50, 120))
	b.Spring = si.Force(between(95, 180))
	b.SpringRate = si.Stiffness(between(1e3, 4e3))
	b.Friction = si.Force(between(0, 20))
	b.TailArea = si.Area(between(0.5e-3, 1.2e-3))
	c.Master.Bore = si.Length(between(20e-3, 27e-3))
	c.Master.Spring = si.Force(between(40, 120))
	c.Master.SpringRate = si.Stiffness(between(0.5e3, 3e3))
	c.Master.Friction = si.Force(between(0, 40))
	if rng.IntN(2) == 0 {
		c.Master.Circuits = sim.MasterSingle
	}
	c.Pedal.Ratio = si.Ratio(between(2.5, 5))
	// Twice the compliance of small brakes at most, or the piston bottoms first.
	stiffer := between(0.4, 0.9)
	c.Front.Compliance *= si.Compliance(stiffer)
	c.Rear.Compliance *= si.Compliance(stiffer)
	c.Front.TakeUp *= si.Volume(between(0.2, 1))
	c.Rear.TakeUp *= si.Volume(between(0.2, 1))
	c.Source.Kind = sim.SourceBench
	c.Source.Vacuum = si.Vacuum(between(25e3, 75e3))
	return c
}

// withTank puts a tank on one side of the check valve or the other, or none.
func withTank(c sim.Config, seed uint64) sim.Config {
	rng := rand.New(rand.NewPCG(seed, 2))
	c.Reservoir = sim.Reservoir{Place: sim.PlaceEngineSide, InletValve: true}
	switch rng.IntN(4) {
	case 0:
		return c
	case 1:
		c.Reservoir.Place = sim.PlaceBoosterSide
	case 2:
		c.Reservoir.InletValve = false
	}
	c.Reservoir.Volume = si.Volume(1e-3 + 5e-3*rng.Float64())
	return c
}

// hydraulicStiffness is the output force for each metre of the piston beyond
// the take-up: A² dP/dV, worked out from the parts by hand.
func hydraulicStiffness(c *sim.Config) float64 {
	const cylinder = 0.02e-12 // m³/Pa
	a := boreArea(c)
	return a * a / (float64(c.Front.Compliance+c.Rear.Compliance) + cylinder)
}

func boreArea(c *sim.Config) float64 { return math.Pi / 4 * float64(c.Master.Bore*c.Master.Bore) }
