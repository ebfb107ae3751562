package study

import (
	"context"

	"kneepoint/internal/precision"
	"kneepoint/sim"
)

// A parkedCar is a car at rest with its engine running. It is settled once for all that
// is asked about it, and each question gets a copy.
type parkedCar struct {
	m             *sim.Model
	idle, overrun *sim.Session
	pumped        *pumpedCar
}

// park is for stops; it settles nothing yet.
func park(ctx context.Context, c sim.Config) (*parkedCar, error) {
	m, err := precision.New(ctx, c, stopsTolerance)
	return &parkedCar{m: m}, err
}

// settled is the car with the engine idling until nothing changes, and then on the
// overrun too if the vacuum is to be that of a cruise.
func (p *parkedCar) settled(ctx context.Context, filledAt sim.EngineState) (*sim.Session, error) {
	if p.idle == nil {
		s, err := settle(ctx, p.m, sim.EngineIdle)
		if err != nil {
			return nil, err
		}
		p.idle = s
	}
	if filledAt == sim.EngineIdle {
		return p.idle.Fork(), nil
	}
	if p.overrun == nil {
		s := p.idle.Fork()
		if err := s.Settle(ctx, sim.EngineOverrun); err != nil {
			return nil, err
		}
		p.overrun = s
	}
	return p.overrun.Fork(), nil
}

// filled is the car that its pump has filled.
func (p *parkedCar) filled(ctx context.Context) (*pumpedCar, error) {
	if p.pumped == nil {
		car, err := fillUp(ctx, p.m)
		if err != nil {
			return nil, err
		}
		p.pumped = car
	}
	return p.pumped, nil
}

// atRest is the car with the engine idling; where a pump leaves it at any vacuum between
// its switches, at the least of them.
func (p *parkedCar) atRest(ctx context.Context) (*sim.Session, error) {
	if !hasPump(p.m.Config()) {
		return p.settled(ctx, sim.EngineIdle)
	}
	car, err := p.filled(ctx)
	if err != nil {
		return nil, err
	}
	return car.rest(ctx, sim.EngineIdle)
}
