package study

import (
	"context"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
)

// begin returns the car as the first of a series of stops finds it.
func (p *pumpedCar) begin(ctx context.Context, set scenario.Reserve, d demand, want stopping) (*sim.Session, error) {
	if want.helpedLeast {
		return p.leastHelped(ctx, set, d)
	}
	return p.rest(ctx, whenStopping(set.FilledAt))
}

// leastHelped is the car with the engine idling, ready for a stop that gets as little
// help as any that begins there.
func (p *parkedCar) leastHelped(ctx context.Context, set scenario.Reserve, d demand) (*sim.Session, error) {
	if !hasPump(p.m.Config()) {
		return p.settled(ctx, sim.EngineIdle)
	}
	car, err := p.filled(ctx)
	if err != nil {
		return nil, err
	}
	return car.leastHelped(ctx, set, d)
}

// leastHelped is the car as the stop with the least help finds it. The vacuum at rest is
// anywhere between the pump's switches, and two beginnings may be the worst:
//
//   - the stop takes the vacuum down to just above where the pump would start, so that it
//     does not: the foot has what a bench that holds this vacuum gives;
//   - the stop begins just above there and starts the pump, which does not make good in
//     time what the stop takes.
//
// A strong pump helps in the second before the stop is over, a weak one does not.
func (p *pumpedCar) leastHelped(ctx context.Context, set scenario.Reserve, d demand) (*sim.Session, error) {
	c := p.config
	begun, err := p.rest(ctx, sim.EngineIdle)
	if err != nil || !p.reaches() || pumpedVacuum(p.alone.State()) > c.Pump.On {
		return begun, err
	}
	_, held, err := p.heldOn(ctx)
	if err != nil {
		return nil, err
	}
	more, err := needsMore(ctx, held, begun, set, d)
	if err != nil || more {
		return held.Fork(), err
	}
	return begun, nil
}

// needsMore reports whether a demand takes more force from one beginning than from
// another.
func needsMore(ctx context.Context, one, other *sim.Session, set scenario.Reserve, d demand) (bool, error) {
	var expected *forecast
	needs := func(s *sim.Session) (float64, error) {
		driver, err := ready(ctx, s.Fork(), set)
		if err != nil {
			return 0, err
		}
		begins, config := driver.session.State(), driver.session.Config()
		if expected == nil {
			expected = expect(&config, begins, d.line)
		}
		expected.front = begins.FrontVacuum
		n, err := needFrom(ctx, driver.session, set, d, expected)
		return forceOr(n.Force), err
	}
	this, err := needs(one)
	if err != nil {
		return false, err
	}
	that, err := needs(other)
	return this > that, err
}
