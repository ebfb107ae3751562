package sim

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"kneepoint/internal/ode"
	"kneepoint/sim/si"
)

// Times over which the engine changes its state, in s (estimates).
const (
	shutOff   = 0.5 // key-off, and a bench venting
	speedUp   = 1.0
	snapOpens = 0.1
)

// seekPatience is the driver's time to respond, as a share of the press time
// (estimate): with the usual 0.3 s it is steady on every pedal tried.
const seekPatience = 0.8

// shortestStretch is the least share of the clock that is worth a step.
const shortestStretch = 1e-13

// shortestRamp keeps a pedal from jumping, in s.
const shortestRamp = 1e-3

// A Session is one car being driven: it is advanced in time, pressed, and can
// be forked to try what would happen. An order that cannot be, such as a force below
// 0 or an unknown state of the engine, changes nothing and is the error of the next
// Advance, AdvanceTo or Settle.
type Session struct {
	m *Model
	t float64
	y []float64
	// step is the size that the next one has: what other sessions of the model do has no
	// part in it.
	step float64

	pedal, source, speed, throttle course
	pumping, powered               bool
	seek                           *seek
	seeks                          []plannedSeek

	// free is when the pedal is free of all that is planned. An order that cannot be
	// is the error of the next Advance.
	free  float64
	wrong error

	track *Trajectory
}

// plannedSeek is an application that seeks a deceleration.
type plannedSeek struct {
	from, until, release float64
	seek                 seek
}

// Start opens a session with the engine off, ambient pressure everywhere and
// the pedal free.
func (m *Model) Start() *Session {
	s := &Session{m: m, y: make([]float64, m.plant.net.Size())}
	c, p := &m.config, m.plant
	ambient, warm := float64(c.Ambient.Pressure), float64(c.Ambient.Temperature)
	for _, g := range p.net.gases {
		g.fill(s.y, ambient, warm)
	}
	if p.manifold != nil {
		s.y[p.manifold.mass] = ambient / p.manifold.byMass()
	}
	if p.hub != nil {
		s.y[p.rod.travel] = leadAtRest
	}
	s.pedal.hold(0, 0)
	s.source.hold(0, ambient)
	s.speed.hold(0, 0)
	s.throttle.hold(0, 0)
	return s
}

// Time returns the session's time.
func (s *Session) Time() si.Time { return si.Time(s.t) }

// Config returns the car that is being driven.
func (s *Session) Config() Config { return s.m.config }

// Fork returns a copy that goes on from here by itself, without a record.
func (s *Session) Fork() *Session {
	f := *s
	f.y = slices.Clone(s.y)
	f.pedal, f.source, f.speed, f.throttle = s.pedal.clone(), s.source.clone(), s.speed.clone(), s.throttle.clone()
	f.seeks = slices.Clone(s.seeks)
	f.track = nil
	return &f
}

// Record begins a trajectory at the present time.
func (s *Session) Record() { s.track = &Trajectory{m: s.m, from: s.t, until: s.t, start: s.State()} }

// Trajectory returns what was recorded, nil if nothing was.
func (s *Session) Trajectory() *Trajectory { return s.track }

// Engine changes what the engine does from now on. A bench is off, or on.
func (s *Session) Engine(to EngineState) {
	if s.refuse(to.check()) {
		return
	}
	p := s.m.plant
	ambient := float64(s.m.config.Ambient.Pressure)
	s.powered = to != EngineOff || s.m.config.Pump.EngineOff
	if !s.powered {
		s.pumping = false
	} else if p.pumped != nil && ambient-p.pumped.pressure(s.y) < float64(s.m.config.Pump.On) {
		s.pumping = true
	}
	if p.engine == nil {
		target := p.benchPressure
		if to == EngineOff {
			target = ambient
		}
		s.bend(&s.source, target, shutOff)
		return
	}
	speed, throttle := p.engine.at(to)
	takes := speedUp
	switch to {
	case EngineOff:
		takes = shutOff
	case EngineSnap:
		takes = snapOpens
	}
	s.bend(&s.speed, speed, takes)
	s.bend(&s.throttle, throttle, min(takes, snapOpens))
}

// refuse keeps the first order that cannot be.
func (s *Session) refuse(err error) bool {
	if err != nil && s.wrong == nil {
		s.wrong = fmt.Errorf("at t = %.6g s: %w", s.t, err)
	}
	return err != nil
}

// bend plans a straight change of an input from its present value.
func (s *Session) bend(c *course, to, takes float64) {
	now, _ := c.piece(s.t)
	c.hold(s.t, now.at(s.t))
	if to != now.at(s.t) {
		c.to(s.t+takes, to)
	}
}

// Pedal moves the foot from its present force to another within a ramp. Every
// application planned or under way is dropped.
func (s *Session) Pedal(force si.Force, ramp si.Time) {
	if s.refuse(Press{Pedal: force, Press: ramp}.check(0)) {
		return
	}
	s.free = 0
	s.keepForce()
	s.seeks = nil
	s.bend(&s.pedal, float64(force), max(float64(ramp), shortestRamp))
}

// Plan adds an application of the pedal; At is on the session's clock, not
// before its present time and after all that was planned before.
func (s *Session) Plan(p Press) {
	if s.refuse(p.check(si.Time(max(s.t, s.free)))) {
		return
	}
	s.free = float64(p.End())
	from := float64(p.At)
	full := from + max(float64(p.Press), shortestRamp)
	held := full + float64(p.Hold)
	free := held + max(float64(p.Release), shortestRamp)
	if p.Deceleration > 0 {
		s.seeks = append(s.seeks, plannedSeek{
			from: from, until: held, release: free,
			seek: seek{float64(p.Deceleration), float64(p.Pedal), seekPatience * max(float64(p.Press), 0.1)},
		})
		return
	}
	s.pedal.to(from, s.pedal.last())
	s.pedal.to(full, float64(p.Pedal))
	if held > full {
		s.pedal.to(held, float64(p.Pedal))
	}
	s.pedal.to(free, 0)
}

// Advance carries the session on for a while.
func (s *Session) Advance(ctx context.Context, d si.Time) error {
	return s.AdvanceTo(ctx, si.Time(s.t)+d)
}

// AdvanceTo carries the session on to a time, landing on every corner of its
// inputs in between. An error of the solver is a *StepError.
func (s *Session) AdvanceTo(ctx context.Context, until si.Time) error {
	m := s.m
	if s.wrong != nil {
		return s.wrong
	}
	if !finite(float64(until)) {
		return fmt.Errorf("at t = %.6g s: advance to %v, want a time", s.t, until)
	}
	for end := float64(until); s.t < end; {
		s.turn()
		next := min(end, s.load(), s.nextSeek())
		if next-s.t <= shortestStretch*max(1, s.t) {
			s.t = next // too short to be told from nothing
			continue
		}
		if m.owner != s || m.solver.Time() != s.t {
			m.solver.Reset(s.t, s.y)
			m.solver.TakeUp(s.step)
			m.owner = s
		}
		var sink func(*ode.Step) error
		if s.track != nil {
			s.track.open(m.plant.in)
			sink = func(step *ode.Step) error {
				s.track.add(step)
				return nil
			}
		}
		err := m.solver.Advance(ctx, next, sink)
		s.t = m.solver.Time()
		copy(s.y, m.solver.State())
		s.step = m.solver.NextStep()
		s.pumping = m.plant.in.pumping
		if err != nil {
			return s.failure(err)
		}
	}
	s.turn()
	s.load()
	return nil
}

// load hands the present inputs to the plant, and returns the time at which one
// of them turns.
func (s *Session) load() float64 {
	in := &s.m.plant.in
	var pedal, source, speed, throttle float64
	in.pedal, pedal = s.pedal.piece(s.t)
	in.source, source = s.source.piece(s.t)
	in.speed, speed = s.speed.piece(s.t)
	in.throttle, throttle = s.throttle.piece(s.t)
	in.pumping, in.seek = s.pumping, s.seek
	return min(pedal, source, speed, throttle)
}

// turn starts or ends the seeking that is due.
func (s *Session) turn() {
	if len(s.seeks) == 0 {
		return
	}
	p := &s.seeks[0]
	if s.seek == nil && p.from <= s.t && s.t < p.until {
		s.seek = &p.seek
	}
	if s.seek != nil && p.until <= s.t {
		planned := s.pedal.clone()
		s.keepForce()
		s.pedal.to(p.release, 0)
		s.pedal.follow(planned)
		s.seeks = s.seeks[1:]
	}
}

// keepForce ends the seeking and holds the force that the foot has.
func (s *Session) keepForce() {
	sought := s.m.plant.driver.sought
	planned, _ := s.pedal.piece(s.t)
	s.pedal.hold(s.t, planned.at(s.t)+s.y[sought])
	s.y[sought] = 0
	s.seek = nil
	s.m.owner = nil // the solver's copy of the state is no longer this one
}

func (s *Session) nextSeek() float64 {
	if len(s.seeks) == 0 {
		return never
	}
	if s.seek == nil && s.t < s.seeks[0].from {
		return s.seeks[0].from
	}
	return s.seeks[0].until
}

// The settling of a car: long enough for a large tank, checked at intervals.
const (
	settleStep = 10.0  // s
	settleMost = 900.0 // s
	settled    = 10.0  // Pa of change over an interval
)

// Settle runs with the pedal free until the vacuum no longer changes, then sets
// the clock back to zero. Every plan of the pedal is dropped.
func (s *Session) Settle(ctx context.Context, state EngineState) error {
	s.keepForce()
	s.pedal.hold(s.t, 0)
	s.seeks = nil
	s.free = 0
	track := s.track
	s.track = nil
	s.Engine(state)
	start := s.t
	last := math.Inf(1)
	for s.t < start+settleMost {
		if err := s.Advance(ctx, settleStep); err != nil {
			return err
		}
		now := 0.0
		for _, g := range []*gas{s.m.plant.front, s.m.plant.tank} {
			if g != nil {
				now += g.pressure(s.y)
			}
		}
		if math.Abs(now-last) < settled {
			break
		}
		last = now
	}
	s.rebase()
	s.track = track
	if track != nil {
		s.Record()
	}
	return nil
}

// rebase sets the clock to zero; nothing but held values may be planned.
func (s *Session) rebase() {
	for _, c := range []*course{&s.pedal, &s.source, &s.speed, &s.throttle} {
		now, _ := c.piece(s.t)
		c.hold(0, now.at(s.t))
	}
	s.t = 0
	s.m.owner = nil
}

// State returns every quantity at the present time.
func (s *Session) State() State {
	s.load()
	return s.m.plant.observe(s.t, s.y)
}

func (s *Session) failure(err error) error {
	out := &StepError{At: si.Time(s.t), Reason: err.Error(), State: s.State(), cause: err}
	var inner *ode.StepError
	if errors.As(err, &inner) {
		out.Reason = inner.Reason
	}
	return out
}
