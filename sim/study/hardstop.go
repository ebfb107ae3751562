package study

import (
	"context"
	"encoding/json"

	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A HardStop is what locks the first axle of this car on its road, with the pedal
// force that does it in a stop with the engine idling. The force does not exist where
// the brakes are too small to lock anything, where the master cylinder's stroke ends
// before, and beyond verdict.HardestPedal.
type HardStop struct {
	verdict.FirstLock
	missing shortfall
}

// MarshalJSON says what limits the stop: the axle that locks, or why it cannot be had.
func (h HardStop) MarshalJSON() ([]byte, error) {
	var by any
	switch {
	case h.missing != noShortfall:
		by = h.missing
	case h.Axle != verdict.NoAxle:
		by = h.Axle
	}
	return json.Marshal(struct {
		Deceleration answer.Optional[si.Acceleration] `json:"deceleration_mps2"`
		Pedal        answer.Optional[si.Force]        `json:"pedal_n"`
		Line         answer.Optional[si.Pressure]     `json:"line_pa"`
		LimitedBy    any                              `json:"limited_by"`
	}{h.Deceleration, h.Pedal, h.Line, by})
}

// A driver presses one car with its engine idling, a press and a hold as a stop of the
// reserve has it, each from the same settled state.
type driver struct {
	session *sim.Session
	set     scenario.Reserve
}

func newDriver(ctx context.Context, car *parkedCar, set scenario.Reserve) (*driver, error) {
	// Brakes that lock nothing are not pressed.
	line, c := verdict.MostLine, car.m.Config()
	if lock := verdict.RoadOf(&c).FirstLock(); lock.Line.Exists() {
		line = lock.Line.Value()
	}
	session, err := car.leastHelped(ctx, set, pressing(line))
	if err != nil {
		return nil, err
	}
	return ready(ctx, session, set)
}

// ready brings a session that has settled to the moment of the press.
func ready(ctx context.Context, session *sim.Session, set scenario.Reserve) (*driver, error) {
	return &driver{session, set}, session.AdvanceTo(ctx, firstStopAt)
}

// lock finds what locks the first axle of a car on its road, with the pedal force that
// gives its line pressure; the car may have other brakes than the one that is pressed.
func (d *driver) lock(ctx context.Context, road verdict.Road) (HardStop, error) {
	h := HardStop{FirstLock: road.FirstLock()}
	if !h.Line.Exists() {
		h.missing = byBrakes
		return h, nil
	}
	n, err := need(ctx, d.session, d.set, pressing(h.Line.Value()))
	h.Pedal, h.missing = n.Force, n.missing
	return h, err
}

// hardStop is that of a car, where the driver is helped least.
func hardStop(ctx context.Context, c sim.Config, set scenario.Reserve) (HardStop, error) {
	car, err := park(ctx, c)
	if err != nil {
		return HardStop{}, err
	}
	return car.hardStop(ctx, set)
}

func (p *parkedCar) hardStop(ctx context.Context, set scenario.Reserve) (HardStop, error) {
	f, err := newDriver(ctx, p, set)
	if err != nil {
		return HardStop{}, err
	}
	c := p.m.Config()
	return f.lock(ctx, verdict.RoadOf(&c))
}
