package web

import (
	"context"
	"encoding/json"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
	"kneepoint/sim/study"
)

// Setup is what the page needs once, in JSON.
func Setup() ([]byte, error) { return json.Marshal(newSetup()) }

// A Show is a drive along a plan in place of someone's foot. It hands out what the
// server would, for who draws the page's pictures without a browser.
type Show struct {
	cars
	plan   sim.Schedule
	series *study.ReserveResult
}

// A stride keeps the manual pedal under the same foot: from one to the next that foot
// goes in a straight line. Of a very long plan there are mostStrides.
const (
	shortStride = si.Time(0.05)
	mostStrides = 20_000
)

// NewShow settles the scenario's car, filled with the engine idling, or with the vacuum
// of the overrun after it, and plans what happens.
func NewShow(ctx context.Context, s *scenario.Scenario, filledAt sim.EngineState, plan sim.Schedule) (*Show, error) {
	c, err := newCars(ctx, s)
	if err != nil {
		return nil, err
	}
	if filledAt != sim.EngineIdle {
		if err := c.boosted.session.Settle(ctx, sim.EngineOverrun); err != nil {
			return nil, err
		}
		c.engine = sim.EngineOverrun
	}
	for _, p := range plan.Presses {
		c.boosted.session.Plan(p)
	}
	return &Show{cars: c, plan: plan}, nil
}

// Count has the stops counted down: the plan is that of a study's series.
func (w *Show) Count(r *study.ReserveResult) {
	w.series, w.reserve = r, r
}

// Car is what the page draws the car from, in JSON.
func (w *Show) Car() ([]byte, error) { return json.Marshal(newCarReply(&w.cars)) }

// Frame is the picture of the present, in JSON.
func (w *Show) Frame() ([]byte, error) {
	f := w.frame()
	if w.series != nil && w.engine == sim.EngineOff {
		// What the page has to tell from the vacuum is known here, at any moment.
		f.StopsLeft = &left{max(0, w.series.HeavyStops-w.stops.made), w.series.HeavyCapped()}
	}
	return json.Marshal(f)
}

// CurveReply is a force curve as the page draws it, in JSON.
func CurveReply(r *study.CurveResult) ([]byte, error) { return json.Marshal(newCurveReply(r)) }

// ReserveReply is a series of stops as the page draws it, in JSON; s is what it was
// asked of.
func ReserveReply(r *study.ReserveResult, s *scenario.Scenario) ([]byte, error) {
	return json.Marshal(newReserveReply(r, s))
}

// AdvanceTo plays the plan on to a time.
func (w *Show) AdvanceTo(ctx context.Context, until si.Time) error {
	stride := max(shortStride, w.plan.Until/mostStrides)
	now := w.boosted.session.Time()
	for now < until {
		next := min(until, now+stride)
		for len(w.plan.Events) > 0 && w.plan.Events[0].At <= now {
			w.turn(w.plan.Events[0].Engine)
			w.plan.Events = w.plan.Events[1:]
		}
		if len(w.plan.Events) > 0 {
			next = min(next, w.plan.Events[0].At)
		}
		if err := w.boosted.session.AdvanceTo(ctx, next); err != nil {
			return err
		}
		pedal := w.boosted.session.State().Pedal
		w.manual.session.Pedal(pedal, next-now)
		if err := w.manual.session.AdvanceTo(ctx, next); err != nil {
			return err
		}
		if w.engine == sim.EngineOff || w.series != nil {
			w.stops.see(pedal)
		}
		now = next
	}
	return nil
}

func (w *Show) turn(to sim.EngineState) {
	if to != w.engine {
		w.boosted.session.Engine(to)
		w.engine = to
	}
}
