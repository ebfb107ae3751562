package web

import (
	"context"
	"sync"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
	"kneepoint/sim/study"
)

// A drive is one car being driven from one page, beside the same car with its
// manual pedal under the same foot. A lock guards all of it: a model belongs to
// one goroutine at a time.
type drive struct {
	mu sync.Mutex
	cars
}

// cars is what is made anew when the scenario changes.
type cars struct {
	scenario *scenario.Scenario
	boosted  *ride
	manual   *ride
	engine   sim.EngineState
	stops    stopCount
	// reserve is the study of the stops left, once someone has asked for it.
	reserve *study.ReserveResult
}

// A ride is one model with its session, and the settled one to start again from.
type ride struct{ start, session *sim.Session }

func newRide(ctx context.Context, c sim.Config) (*ride, error) {
	m, err := sim.New(c)
	if err != nil {
		return nil, err
	}
	s := m.Start()
	if err := s.Settle(ctx, sim.EngineIdle); err != nil {
		return nil, err
	}
	return &ride{start: s, session: s.Fork()}, nil
}

// newCars settles the scenario's car, and its manual one, with the engine idling.
func newCars(ctx context.Context, s *scenario.Scenario) (cars, error) {
	c := cars{scenario: s, engine: sim.EngineIdle}
	var err error
	if c.boosted, err = newRide(ctx, s.Config); err != nil {
		return c, err
	}
	c.manual, err = newRide(ctx, study.Manual(s))
	return c, err
}

// reset goes back to the settled car.
func (c *cars) reset() {
	for _, r := range []*ride{c.boosted, c.manual} {
		r.session = r.start.Fork()
	}
	c.engine = sim.EngineIdle
	c.stops = stopCount{}
}

// step moves the foot in a straight line to a force and carries both cars on.
func (c *cars) step(ctx context.Context, in stepRequest) error {
	if in.Engine != c.engine {
		c.boosted.session.Engine(in.Engine)
		c.engine = in.Engine
		if in.Engine == sim.EngineOff {
			c.stops = stopCount{}
		}
	}
	for _, r := range []*ride{c.boosted, c.manual} {
		r.session.Pedal(in.Pedal, in.Dt)
		if err := r.session.Advance(ctx, in.Dt); err != nil {
			return err
		}
	}
	if c.engine == sim.EngineOff {
		c.stops.see(in.Pedal)
	}
	return nil
}

// frame is the picture of the present.
func (c *cars) frame() frame {
	s := c.boosted.session.State()
	f := newFrame(s, c.scenario.Config.Ambient.Pressure)
	f.Engine = c.engine
	f.Manual = newManualFrame(c.manual.session.State())
	f.StopsMade = c.stops.made
	c.stops.left = stopsLeft(c.reserve, s, c.stops.left)
	f.StopsLeft = c.stops.left
	return f
}

// stopCount counts the stops made since the engine went off.
type stopCount struct {
	made    int
	pressed bool
	left    *left
}

// A foot presses from pressedFrom on and is free below freeBelow; the gap keeps
// one stop from counting as two.
const (
	pressedFrom si.Force = 15
	freeBelow   si.Force = 5
)

func (n *stopCount) see(pedal si.Force) {
	switch {
	case pedal >= pressedFrom:
		n.pressed = true
	case pedal <= freeBelow && n.pressed:
		n.pressed = false
		n.made++
	}
}

// left is how many stops, at most heavy, the study has from the present vacuum.
type left struct {
	Stops int `json:"stops"`
	// AtLeast says that there may be more than the study looked at.
	AtLeast bool `json:"at_least"`
}

// A vacuum within nearVacuum of a stop's counts as enough for it; the chambers
// are even within evenVacuum once a release is over.
const (
	nearVacuum si.Vacuum = 300
	evenVacuum si.Vacuum = 500
)

// stopsLeft looks the present vacuum up in the study's series of stops: those
// that began with more are gone. While the pedal is down, or the chambers are
// not even, what was true before stands.
func stopsLeft(r *study.ReserveResult, s sim.State, before *left) *left {
	if r == nil {
		return nil
	}
	if before != nil && (s.Pedal > freeBelow || s.FrontVacuum-s.WorkingVacuum > evenVacuum) {
		return before
	}
	now := &left{Stops: r.HeavyStops, AtLeast: r.HeavyCapped()}
	for _, stop := range r.Stops[:r.HeavyStops] {
		if stop.VacuumBefore.Value() > s.FrontVacuum+nearVacuum {
			now.Stops--
		}
	}
	if r.HeavyStops > 0 && s.FrontVacuum > r.StartVacuum.Value()+nearVacuum {
		now.AtLeast = true
	}
	return now
}
