package study

import (
	"context"
	"fmt"
	"math"

	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A keptVacuum is one that a car has at rest.
type keptVacuum struct {
	vacuum si.Vacuum
	// config keeps it through a slow press.
	config sim.Config
	// car is the one whose hard stop it is, with its pump if it has one.
	car sim.Config
	// full is that car just as its pump has switched off; nil where the hard stop is
	// that from the least vacuum.
	full *sim.Session
}

// hardStop is that from this vacuum.
func (k *keptVacuum) hardStop(ctx context.Context, set scenario.Reserve) (HardStop, error) {
	if k.full == nil {
		return hardStop(ctx, k.car, set)
	}
	d, err := ready(ctx, k.full.Fork(), set)
	if err != nil {
		return HardStop{}, err
	}
	return d.lock(ctx, verdict.RoadOf(&k.car))
}

// pumpEnds are the least and the greatest vacuum between which a pump leaves the
// booster at rest: the greatest is where it switches off, or what it gets to if that is
// less. It is one where the two are the same.
//
// A slow press takes minutes, in which a pump would start and stop, so that its curve
// would be for no one vacuum. In its place a bench without a pump holds the vacuum.
func pumpEnds(ctx context.Context, c sim.Config) ([]keptVacuum, error) {
	car, err := filled(ctx, c)
	if err != nil {
		return nil, err
	}
	low, err := car.least(ctx)
	if err != nil {
		return nil, err
	}
	top := c.Pump.Off
	if !car.firstFill.Exists() {
		top = pumpedVacuum(car.idle.State())
	}
	if !car.reaches() || top <= low.vacuum {
		return []keptVacuum{low}, nil
	}
	high := keptVacuum{vacuum: top, car: c, full: car.idle.Fork()}
	fillTo(high.full, top)
	high.config, _, err = heldAt(ctx, c, top)
	return []keptVacuum{low, high}, err
}

// filled is a car that its pump has filled.
func filled(ctx context.Context, c sim.Config) (*pumpedCar, error) {
	car, err := park(ctx, c)
	if err != nil {
		return nil, err
	}
	return car.filled(ctx)
}

// least is the least vacuum at rest: where the pump switches on, or what the idling engine
// keeps if that is more, or what the pump gets to if that is less.
func (p *pumpedCar) least(ctx context.Context) (low keptVacuum, err error) {
	c := p.config
	low = keptVacuum{vacuum: c.Pump.On, car: c}
	switch alone := pumpedVacuum(p.alone.State()); {
	case !p.reaches():
		low.vacuum = pumpedVacuum(p.idle.State())
	case alone > c.Pump.On:
		low.vacuum, low.config = c.SourceVacuum(), c
		low.config.Pump = sim.Pump{}
		return low, nil
	}
	if low.vacuum == c.Pump.On {
		low.config, _, err = p.heldOn(ctx)
		return low, err
	}
	low.config, _, err = heldAt(ctx, c, low.vacuum)
	return low, err
}

// heldOn is heldAt where the pump starts. The session is to be forked.
func (p *pumpedCar) heldOn(ctx context.Context) (sim.Config, *sim.Session, error) {
	if p.held == nil {
		c, s, err := heldAt(ctx, p.config, p.config.Pump.On)
		if err != nil {
			return c, nil, err
		}
		p.heldBy, p.held = c, s
	}
	return p.heldBy, p.held, nil
}

// heldAt returns the car without its pump, and with a bench in the engine's place that
// keeps a vacuum where the pump drew from. What the check valve keeps back, and what
// leaks in, is added to the bench's. The session is that car, settled.
func heldAt(ctx context.Context, c sim.Config, v si.Vacuum) (sim.Config, *sim.Session, error) {
	const (
		rounds           = 4
		near   si.Vacuum = 10
		most             = 0.999 // of the ambient pressure
	)
	c.Pump = sim.Pump{}
	c.Source.Kind = sim.SourceBench
	c = at(c, v)
	for round := 0; ; round++ {
		m, err := model(ctx, c)
		if err != nil {
			return c, nil, err
		}
		s, err := settle(ctx, m, sim.EngineIdle)
		if err != nil {
			return c, nil, err
		}
		short := v - pumpedVacuum(s.State())
		if math.Abs(float64(short)) < float64(near) || round == rounds {
			return c, s, nil
		}
		c = at(c, min(c.Source.Vacuum+short, si.Vacuum(most*c.Ambient.Pressure)))
	}
}

// atPump sets the curves to those of the vacua between which the pump keeps the booster,
// an estimated idle vacuum at its low end.
func (r *CurveResult) atPump(ctx context.Context, s *scenario.Scenario) (err error) {
	c := s.Config
	if low, _, ok := s.EstimatedVacuum(); ok {
		c = at(c, low)
	}
	if r.pumped, err = pumpEnds(ctx, c); err != nil {
		return err
	}
	r.duty, err = pumpDutyOf(ctx, s)
	return err
}

// leastKnee is the knee of Curve at the least vacuum that the car has at rest: with a pump
// that at which it switches on, else the source's.
func (p *parkedCar) leastKnee(ctx context.Context) (Knee, error) {
	c := p.m.Config()
	if hasPump(c) {
		car, err := p.filled(ctx)
		if err != nil {
			return Knee{}, err
		}
		kept, err := car.least(ctx)
		if err != nil {
			return Knee{}, err
		}
		c = kept.config
	}
	f, err := slowCurve(ctx, c, false)
	if err != nil {
		return Knee{}, err
	}
	return f.Knee, nil
}

// pumpWords say what the curves of a car with a pump are for.
func (r *CurveResult) pumpWords(u si.System) []string {
	if len(r.pumped) == 0 {
		return nil
	}
	least := vacuum(r.pumped[0].vacuum, u)
	words := fmt.Sprintf("With the electric pump there is %s in the booster at rest, and what follows is for that.", least)
	if len(r.pumped) > 1 {
		words = fmt.Sprintf("With the electric pump there is between %s, where it starts, and %s in the booster at rest, and what follows is for both; count on the first.",
			least, vacuum(r.pumped[1].vacuum, u))
	}
	if r.duty.KeepsUp {
		return []string{words}
	}
	return []string{words, r.duty.words(r.config, u)[0]}
}
