package study

import (
	"context"
	"fmt"
	"math"

	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A keptVacuum is one that a car has at rest, with a car that keeps it.
type keptVacuum struct {
	vacuum si.Vacuum
	config sim.Config
}

// pumpEnds are the least and the greatest vacuum between which a pump leaves the
// booster at rest: where it switches on, or what the idling engine keeps if that is more,
// and where it switches off, or what it gets to if that is less. It is one where the two
// are the same.
//
// A slow press takes minutes, in which a pump would start and stop, so that its curve
// would be for no one vacuum. In its place a bench without a pump holds the vacuum; a
// stop is over before a pump has changed much.
func pumpEnds(ctx context.Context, c sim.Config) ([]keptVacuum, error) {
	m, err := model(ctx, c)
	if err != nil {
		return nil, err
	}
	car, err := fillUp(ctx, m)
	if err != nil {
		return nil, err
	}
	reached := pumpedVacuum(car.idle.State())
	if !car.reaches() {
		at, err := heldAt(ctx, c, reached)
		return []keptVacuum{at}, err
	}
	var low keptVacuum
	if alone := pumpedVacuum(car.alone.State()); alone > c.Pump.On {
		low = keptVacuum{c.SourceVacuum(), c}
		low.config.Pump = sim.Pump{}
	} else if low, err = heldAt(ctx, c, c.Pump.On); err != nil {
		return nil, err
	}
	top := c.Pump.Off
	if !car.firstFill.Exists() {
		top = reached
	}
	if top <= low.vacuum {
		return []keptVacuum{low}, nil
	}
	high, err := heldAt(ctx, c, top)
	return []keptVacuum{low, high}, err
}

// heldAt returns the car without its pump, and with a bench in the engine's place that
// keeps a vacuum where the pump drew from. What the check valve keeps back, and what
// leaks in, is added to the bench's.
func heldAt(ctx context.Context, c sim.Config, v si.Vacuum) (keptVacuum, error) {
	const (
		rounds           = 4
		near   si.Vacuum = 10
		most             = 0.999 // of the ambient pressure
	)
	c.Pump = sim.Pump{}
	c.Source.Kind = sim.SourceBench
	c = at(c, v)
	for range rounds {
		m, err := model(ctx, c)
		if err != nil {
			return keptVacuum{}, err
		}
		s, err := settle(ctx, m, sim.EngineIdle)
		if err != nil {
			return keptVacuum{}, err
		}
		short := v - pumpedVacuum(s.State())
		if math.Abs(float64(short)) < float64(near) {
			break
		}
		c = at(c, min(c.Source.Vacuum+short, si.Vacuum(most*c.Ambient.Pressure)))
	}
	return keptVacuum{v, c}, nil
}

// atPump sets the curves to those of the vacua between which the pump keeps the booster,
// an estimated idle vacuum at its low end, and returns the cars to press.
func (r *CurveResult) atPump(ctx context.Context, s *scenario.Scenario) ([]sim.Config, error) {
	c := s.Config
	if low, _, ok := s.EstimatedVacuum(); ok {
		c = at(c, low)
	}
	var err error
	if r.pumped, err = pumpEnds(ctx, c); err != nil {
		return nil, err
	}
	configs := make([]sim.Config, len(r.pumped))
	for i, h := range r.pumped {
		configs[i] = h.config
	}
	return configs, nil
}

// leastKept is the least vacuum that the car has at rest: with a pump that at which it
// switches on, else the source's.
func leastKept(ctx context.Context, c sim.Config) (keptVacuum, error) {
	if !hasPump(c) {
		return keptVacuum{c.SourceVacuum(), c}, nil
	}
	ends, err := pumpEnds(ctx, c)
	if err != nil {
		return keptVacuum{}, err
	}
	return ends[0], nil
}

// leastCurve is the force curve at the least vacuum that the car has at rest.
func leastCurve(ctx context.Context, c sim.Config) (*ForceCurve, error) {
	kept, err := leastKept(ctx, c)
	if err != nil {
		return nil, err
	}
	f, err := forceCurve(ctx, kept.config)
	if err == nil && hasPump(c) {
		f.Vacuum = answer.Maybe(kept.vacuum)
	}
	return f, err
}

// pumpWords say what the curves of a car with a pump are for.
func (r *CurveResult) pumpWords(u si.System) []string {
	if len(r.pumped) == 0 {
		return nil
	}
	least := vacuum(r.pumped[0].vacuum, u)
	if len(r.pumped) == 1 {
		return []string{fmt.Sprintf("With the electric pump there is %s in the booster at rest, and what follows is for that.", least)}
	}
	return []string{fmt.Sprintf("With the electric pump there is between %s and %s in the booster at rest, and what follows is for both.",
		least, vacuum(r.pumped[1].vacuum, u))}
}
