//go:build sundials

package main

import (
	"bytes"
	"context"
	"fmt"
	"math"

	"kneepoint/internal/bench/cvode/native"
	"kneepoint/scenarios"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

const (
	runLength    = 64.0 // s
	gridStep     = 5e-3 // s
	stopForce    = 200  // N at the pedal
	referenceRel = 1e-11
	settledRel   = 1e-8
)

// A drive is a shipped scenario driven in one way.
type drive struct {
	scenario string
	engine   sim.EngineState
}

func (d drive) String() string {
	if d.engine == sim.EngineOff {
		return d.scenario + ", engine off"
	}
	return d.scenario + ", engine idling"
}

// short is a name for the axis of a picture.
func (d drive) short() string { return d.scenario + ", " + string(d.engine) }

// drives are those compared: a common car, and one with a tank and a weak source.
var drives = []drive{
	{"stock-ten-inch", sim.EngineOff}, {"stock-ten-inch", sim.EngineIdle},
	{"big-cam-reservoir", sim.EngineOff}, {"big-cam-reservoir", sim.EngineIdle},
}

// car is a drive ready to be run by any of the solvers, from one settled state.
type car struct {
	drive
	config  sim.Config
	settled *sim.Session
	y0      []float64
	scales  []float64 // of the project's absolute tolerances
	most    []float64 // largest size of each state in the reference run
	pieces  []sim.Piece
	native  *native.Car
	times   []float64
	seen    [][3]float64 // reference at the times
	span    [3]float64   // largest less smallest of the reference
	work    native.Work  // that the reference took
	nanos   [2]float64   // of one right-hand side in Go and in C
}

func (c *car) schedule() sim.Schedule {
	s := sim.Schedule{Events: []sim.Event{{At: 0, Engine: c.engine}}, Until: runLength}
	for i := range 8 {
		s.Presses = append(s.Presses, sim.Press{At: si.Time(0.5 + 8*float64(i)), Pedal: stopForce, Press: 0.3, Hold: 2, Release: 0.3})
	}
	return s
}

func newCar(d drive) (*car, error) {
	c := &car{drive: d}
	text, err := scenarios.Read(d.scenario)
	if err != nil {
		return nil, err
	}
	s, err := scenario.Read(bytes.NewReader(text), d.scenario+".toml")
	if err != nil {
		return nil, err
	}
	c.config = s.Config
	m, err := sim.New(c.config, sim.Tolerance(settledRel))
	if err != nil {
		return nil, err
	}
	c.settled = m.Start()
	if err := c.settled.Settle(context.Background(), sim.EngineIdle); err != nil {
		return nil, err
	}
	c.y0, c.scales = c.settled.Vector(), m.Scales()
	run, err := c.recorded(m)
	if err != nil {
		return nil, err
	}
	if c.pieces, err = run.Pieces(); err != nil {
		return nil, err
	}
	e, err := m.Equations()
	if err != nil {
		return nil, err
	}
	if c.native, err = native.NewCar(e, c.pieces); err != nil {
		return nil, err
	}
	for i := range int(math.Round(runLength / gridStep)) {
		c.times = append(c.times, min(gridStep*float64(i+1), runLength))
	}
	c.callCost(m, run)
	return c, c.reference()
}

// reference runs CVODE at 1e-11 and keeps what is compared.
func (c *car) reference() error {
	s, err := c.native.Solver(referenceRel, c.scaled(c.scales, referenceRel), 5)
	if err != nil {
		return err
	}
	defer s.Free()
	_, along, work, err := s.Run(c.y0, c.times)
	if err != nil {
		return fmt.Errorf("%s, reference: %w", c.drive, err)
	}
	c.seen, c.work = c.all(along), work
	c.most = make([]float64, len(c.y0))
	low, high := c.seen[0], c.seen[0]
	for k, y := range along {
		for i, v := range y {
			c.most[i] = max(c.most[i], math.Abs(v))
		}
		for i, v := range c.seen[k] {
			low[i], high[i] = min(low[i], v), max(high[i], v)
		}
	}
	for i := range c.span {
		c.span[i] = high[i] - low[i]
	}
	return nil
}

func (c *car) scaled(scales []float64, by float64) []float64 {
	out := make([]float64, len(scales))
	for i, s := range scales {
		out[i] = by * s
	}
	return out
}

func (c *car) all(along [][]float64) [][3]float64 {
	out := make([][3]float64, len(along))
	for k, y := range along {
		c.native.Seen(y, &out[k])
	}
	return out
}

// off is the largest error of each quantity over the grid, over its span.
func (c *car) off(seen [][3]float64) (e [3]float64) {
	for k, s := range seen {
		for i := range e {
			e[i] = max(e[i], math.Abs(s[i]-c.seen[k][i])/c.span[i])
		}
	}
	return e
}

// go64 drives on as Model.Run does after settling.
func (c *car) go64(s *sim.Session) error {
	ctx := context.Background()
	plan := c.schedule()
	for _, p := range plan.Presses {
		s.Plan(p)
	}
	for _, e := range plan.Events {
		if err := s.AdvanceTo(ctx, e.At); err != nil {
			return err
		}
		s.Engine(e.Engine)
	}
	return s.AdvanceTo(ctx, plan.Until)
}

func (c *car) recorded(m *sim.Model) (*sim.Trajectory, error) {
	s := c.settled.On(m)
	s.Record()
	if err := c.go64(s); err != nil {
		return nil, err
	}
	return s.Trajectory(), nil
}

// callCost times the right-hand side in both languages at states along the run.
func (c *car) callCost(m *sim.Model, run *sim.Trajectory) {
	const states, calls = 200, 500
	y, dy := make([]float64, len(c.y0)), make([]float64, len(c.y0))
	var inGo, inC []float64
	for i := range states {
		at := runLength * (float64(i) + 0.5) / states
		k := 0
		for c.pieces[k].End < at {
			k++
		}
		run.StateAt(at, y)
		start := native.CPU()
		for range calls {
			m.Rates(&c.pieces[k], at, y, dy)
		}
		inGo = append(inGo, (native.CPU()-start)/calls*1e9)
		inC = append(inC, c.native.RatesTime(calls, k, at, y)/calls*1e9)
	}
	c.nanos = [2]float64{middle(inGo), middle(inC)}
}
