// Package fleet makes up cars and drives for tests: valid ones from all over the
// range that the model is meant for.
package fleet

import (
	"math"
	"math/rand/v2"

	"kneepoint/internal/physics"
	"kneepoint/sim"
	"kneepoint/sim/si"
)

// Random returns a car that Check does not refuse and something to do with it.
// The same state of rng gives the same car. The cars have no vacuum to 29 inHg,
// shells of 6 to 11 in and tandems or none, tanks to 20 L, altitudes to 4000 m,
// and every fault from slight to a hose pulled off; the pedal is anything from a
// jab of 20 ms to a push of 20 s.
func Random(rng *rand.Rand) (sim.Config, sim.Schedule) {
	c := car(rng)
	return c, drive(rng)
}

func car(rng *rand.Rand) sim.Config {
	c := sim.Typical()
	c.Ambient.Pressure = physics.PressureAt(si.Length(4000 * rng.Float64() * float64(rng.IntN(2))))
	c.Ambient.Temperature = si.Temperature(between(rng, 253, 318))
	ambient := float64(c.Ambient.Pressure)

	booster(rng, &c)
	source(rng, &c)
	if rng.IntN(3) == 0 {
		c.Pump.FreeFlow = si.VolumeFlow(magnitude(rng, 5, 60)) * si.Litre / si.Minute
		c.Pump.On = si.Vacuum(between(rng, 0.3, 0.6) * ambient)
		c.Pump.Off = c.Pump.On + si.Vacuum(between(rng, 0.05, 0.35)*ambient)
		c.Pump.EngineOff = rng.IntN(2) == 0
	}
	c.Hose = sim.Hose{Area: si.Area(magnitude(rng, 5e-6, 60e-6)), Volume: si.Volume(magnitude(rng, 0.05e-3, 0.5e-3))}
	if rng.IntN(2) == 0 {
		c.Reservoir = sim.Reservoir{
			Volume:     si.Volume(magnitude(rng, 0.2e-3, 20e-3)),
			Place:      pick(rng, sim.PlaceEngineSide, sim.PlaceBoosterSide),
			InletValve: rng.IntN(2) == 0,
		}
	}
	c.Pedal = sim.Pedal{Ratio: si.Ratio(between(rng, 2.5, 8)), Efficiency: si.Ratio(between(rng, 0.7, 1))}
	c.Master.Bore = si.Length(between(rng, 16e-3, 32e-3))
	c.Master.Circuits = pick(rng, sim.MasterSingle, sim.MasterDual, sim.MasterDual)
	c.Master.Stroke = si.Length(between(rng, 26e-3, 45e-3))
	c.Master.Friction = si.Force(between(rng, 0, 60))
	c.Front = sim.Circuit{TakeUp: si.Volume(between(rng, 0, 3e-6)), Compliance: si.Compliance(magnitude(rng, 0.05e-12, 1e-12)), Hoses: sim.HosesRubber}
	c.Rear = sim.Circuit{TakeUp: si.Volume(between(rng, 0, 2e-6)), Compliance: si.Compliance(magnitude(rng, 0.05e-12, 1e-12)), Hoses: sim.HosesRubber}
	if rng.IntN(10) == 0 {
		pick(rng, &c.Front, &c.Rear).Lost = true
	}
	if rng.IntN(3) == 0 {
		c.Car.HoldOff = si.Pressure(between(rng, 0.2e6, 1.2e6))
		c.Car.ResidualRear = si.Pressure(between(rng, 0, 0.15e6))
	}
	c.Car.Mass = si.Mass(between(rng, 600, 2600))
	c.Car.Adhesion = si.Ratio(between(rng, 0.2, 1))
	c.Car.SlidingAdhesion = sim.SlidingOf(c.Car.Adhesion)
	if rng.IntN(2) == 0 {
		c.Car.SplitSlope = si.Ratio(between(rng, 0.2, 0.8))
	}
	for range max(0, rng.IntN(5)-2) {
		c.Faults = append(c.Faults, fault(rng))
	}
	stayAtRest(&c)
	return c
}

func booster(rng *rand.Rand, c *sim.Config) {
	diameter := func(from, to float64) si.Length { return si.Inch * si.Length(between(rng, from, to)) }
	switch rng.IntN(8) {
	case 0:
		c.Booster.Kind = sim.BoosterNone
		return
	case 1, 2:
		d := diameter(6, 10)
		c.Booster = sim.BoosterOf(d, d+diameter(0, 1))
	default:
		c.Booster = sim.BoosterOf(diameter(6, 11))
	}
	b := &c.Booster
	b.Ratio = si.Ratio(between(rng, 1.5, 9))
	b.JumpIn = si.Force(between(rng, 0, 1000))
	b.CutIn = si.Force(between(rng, 20, 150))
	b.Spring = si.Force(between(rng, 60, 200))
	b.SpringRate = si.Stiffness(between(rng, 0.5e3, 5e3))
	b.Friction = si.Force(between(rng, 0, 60))
	b.FreePlay = si.Length(between(rng, 0, 1.5e-3))
	// Valves go with the chambers they have to fill and empty.
	b.AirValve = b.Area * si.Area(magnitude(rng, 0.5e-3, 2.5e-3))
	b.VacuumValve = b.Area * si.Area(magnitude(rng, 0.5e-3, 2.5e-3))
	b.FrontVolume *= si.Volume(between(rng, 0.8, 1.5))
	b.RearVolume *= si.Volume(between(rng, 0.5, 2))
}

func source(rng *rand.Rand, c *sim.Config) {
	s := &c.Source
	s.MeasuredPressure = c.Ambient.Pressure
	s.InGear = rng.IntN(2) == 0
	if rng.IntN(2) == 0 {
		s.Kind = sim.SourceBench
		if rng.IntN(8) > 0 {
			s.Vacuum = si.Vacuum(between(rng, 0, 29.0/29.92*float64(c.Ambient.Pressure)))
		} else {
			s.Vacuum = 0
		}
		return
	}
	s.Kind = sim.SourceEngine
	s.Vacuum = si.Vacuum(between(rng, 0, 0.75*float64(c.Ambient.Pressure)))
	s.IdleSpeed = si.Rotation(between(rng, 500, 1400)) * si.RevPerMinute
	s.OverrunSpeed = s.IdleSpeed + si.Rotation(between(rng, 500, 4000))*si.RevPerMinute
	s.Displacement = si.Volume(magnitude(rng, 0.8e-3, 8e-3))
	s.Compression = si.Ratio(between(rng, 7, 13))
	s.ManifoldVolume = s.Displacement * si.Volume(between(rng, 0.5, 1.5))
}

// stayAtRest gives the return spring what it takes to bring the hub back against
// its friction and any vacuum there may be.
func stayAtRest(c *sim.Config) {
	const margin = 20 // N
	push := si.Force(float64(c.Booster.TailArea) * float64(c.Ambient.Pressure))
	c.Booster.Spring = max(c.Booster.Spring, push+c.Booster.Friction+margin)
}

// Worst figures of faults in the fleet.
const (
	hoseOff = 100e-6  // m², a hose pulled off
	seepage = 0.01e-6 // m²
	closed  = 0.02    // share of a restriction still open
)

func fault(rng *rand.Rand) sim.Fault {
	f := sim.Fault{Name: pick(rng, sim.FaultNames()...)}
	switch f.Name.Measure() {
	case sim.FaultByArea:
		f.Area = si.Area(magnitude(rng, seepage, hoseOff))
	case sim.FaultByOpen:
		f.Open = si.Ratio(magnitude(rng, closed, 1))
	default:
		f.Severity = si.Ratio(rng.Float64())
	}
	return f
}

func drive(rng *rand.Rand) sim.Schedule {
	var s sim.Schedule
	now := between(rng, 0, 2)
	for range 1 + rng.IntN(6) {
		p := sim.Press{
			At:      si.Time(now),
			Pedal:   si.Force(magnitude(rng, 5, 1200)),
			Press:   si.Time(magnitude(rng, 0.02, 20)),
			Hold:    si.Time(between(rng, 0, 4)),
			Release: si.Time(magnitude(rng, 0.02, 5)),
		}
		if rng.IntN(5) == 0 {
			p.Deceleration = si.Acceleration(between(rng, 0.5, 9))
			p.Pedal = si.Force(between(rng, 150, 700))
			p.Hold += 2
		}
		s.Presses = append(s.Presses, p)
		now = float64(p.End()) + magnitude(rng, 0.05, 8)
	}
	s.Until = si.Time(now + 2)
	states := []sim.EngineState{sim.EngineIdle, sim.EngineOverrun, sim.EngineCruise, sim.EngineSnap, sim.EngineOff, sim.EngineOff}
	for at := between(rng, 0, now); at < now && len(s.Events) < 4; at += between(rng, 0.1, now) {
		s.Events = append(s.Events, sim.Event{At: si.Time(at), Engine: pick(rng, states...)})
	}
	return s
}

func between(rng *rand.Rand, from, to float64) float64 { return from + (to-from)*rng.Float64() }

// magnitude draws evenly over the logarithm.
func magnitude(rng *rand.Rand, from, to float64) float64 {
	return from * math.Exp(math.Log(to/from)*rng.Float64())
}

func pick[T any](rng *rand.Rand, from ...T) T { return from[rng.IntN(len(from))] }
