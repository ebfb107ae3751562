// Package sim is the model: a vacuum brake booster with its engine, hose, check
// valve and reservoir, coupled to the pedal, the master cylinder, the circuits
// and the car, as a stiff system of ordinary differential equations.
//
// A Config goes into New; a Model runs a Schedule, or opens a Session that is
// driven step by step; either way a Trajectory comes out that can be sampled at
// any time.
package sim

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"kneepoint/internal/ode"
	"kneepoint/sim/si"
)

// DefaultTolerance is the relative error for each step: it keeps every vacuum
// within 5 Pa and the line pressures within 3 kPa of a reference solver's, at any
// time of a run.
const DefaultTolerance = 5e-6

// A Model is a car ready to run. It and its sessions and trajectories share
// scratch space: they belong to one goroutine at a time.
type Model struct {
	config Config
	plant  *plant
	solver *ode.Solver
	// owner is the session whose state the solver holds.
	owner *Session
}

// An Option changes how a model is solved.
type Option func(*options)

type options struct {
	tolerance float64
	parts     []part
}

// Tolerance sets the relative error for each step.
func Tolerance(rel float64) Option { return func(o *options) { o.tolerance = rel } }

// fitted adds a part that no config names.
func fitted(p part) Option { return func(o *options) { o.parts = append(o.parts, p) } }

// New assembles the model of a car. A config that Check calls impossible is an
// error that joins its fatal problems.
func New(c Config, opts ...Option) (*Model, error) {
	var fatal []error
	for _, p := range c.Check() {
		if p.Fatal {
			fatal = append(fatal, p)
		}
	}
	if len(fatal) > 0 {
		return nil, errors.Join(fatal...)
	}
	o := options{tolerance: DefaultTolerance}
	for _, f := range opts {
		f(&o)
	}
	p, err := assemble(&c, o.parts...)
	if err != nil {
		return nil, fmt.Errorf("assemble: %w", err)
	}
	c.Faults, c.Booster.Diameters = slices.Clone(c.Faults), slices.Clone(c.Booster.Diameters)
	m := &Model{config: c, plant: p}
	abs := make([]float64, len(p.net.scales))
	for i, s := range p.net.scales {
		abs[i] = o.tolerance * s
	}
	m.solver, err = ode.New(p.net, ode.Tolerance{Rel: o.tolerance, Abs: abs},
		append(m.guards(c.Pump), ode.Kernels(kernels...))...)
	if err != nil {
		return nil, fmt.Errorf("assemble: %w", err)
	}
	return m, nil
}

// Config returns the car that the model was made of.
func (m *Model) Config() Config { return m.config }

// guards are the switches of the pump.
func (m *Model) guards(pump Pump) []ode.Option {
	p := m.plant
	if p.pumped == nil {
		return nil
	}
	vacuum := func(y []float64) float64 {
		return float64(m.config.Ambient.Pressure) - p.pumped.pressure(y)
	}
	return []ode.Option{ode.Guards(
		ode.Guard{Name: "pump on", Falling: true,
			Value: func(_ float64, y []float64) float64 { return vacuum(y) - float64(pump.On) },
			Hit:   func(float64, []float64) { p.in.pumping = m.owner.powered }},
		ode.Guard{Name: "pump off", Rising: true,
			Value: func(_ float64, y []float64) float64 { return vacuum(y) - float64(pump.Off) },
			Hit:   func(float64, []float64) { p.in.pumping = false }},
	)}
}

// Run settles the car with the engine idling (or the bench on), then runs the
// schedule. When the solver cannot finish, the trajectory up to there comes
// with the error. A schedule that cannot be is refused before anything is run.
func (m *Model) Run(ctx context.Context, s Schedule) (*Trajectory, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	session := m.Start()
	if err := session.Settle(ctx, EngineIdle); err != nil {
		return nil, err
	}
	session.Record()
	for _, p := range s.Presses {
		session.Plan(p)
	}
	for _, e := range s.Events {
		if err := session.AdvanceTo(ctx, min(e.At, s.Until)); err != nil {
			return session.Trajectory(), err
		}
		if e.At > s.Until {
			break
		}
		session.Engine(e.Engine)
	}
	err := session.AdvanceTo(ctx, s.Until)
	return session.Trajectory(), err
}

// Stats counts what the solver has done.
type Stats struct {
	// Steps were accepted, Rejected had too large an error.
	Steps, Rejected int
	// Rates and Jacobians were evaluated, and matrices factorized, so often.
	Rates, Jacobians, Factorizations int
}

// Stats returns what the solver has done so far, over all sessions.
func (m *Model) Stats() Stats {
	s := m.solver.Stats()
	return Stats{s.Steps, s.Rejected, s.Rates, s.Jacobians, s.Factorizations}
}

// A StepError says where a run could not be carried on, with the state there.
type StepError struct {
	At     si.Time
	Reason string
	State  State
	cause  error
}

func (e *StepError) Error() string {
	return fmt.Sprintf("the solver stopped at t = %.6g s: %s; there the hub was at %.3f mm, the front chamber at %.2f kPa of vacuum, the line at %.3f MPa",
		float64(e.At), e.Reason, 1e3*float64(e.State.Hub), 1e-3*float64(e.State.FrontVacuum), 1e-6*float64(e.State.LineFront))
}

// Unwrap returns what stopped the solver.
func (e *StepError) Unwrap() error { return e.cause }
