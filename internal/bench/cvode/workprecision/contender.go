//go:build sundials

package main

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"kneepoint/internal/bench/cvode/native"
	"kneepoint/sim"
)

// A contender is one solver with one way of weighting errors, at several tolerances.
type contender struct {
	name   string
	points []*point
	gaveUp []string // what it did not finish, and why
}

// A point is a contender at one tolerance.
type point struct {
	rel    float64
	off    []float64 // errors achieved, one for each quantity compared
	cpu    []float64 // s, one for each round
	rates  int       // calls of the right-hand side
	steps  int
	note   string
	repeat int // runs in one timing
	run    func() error
	free   func()
}

// time runs the point once more and notes the processor time.
func (p *point) time() error {
	n := max(p.repeat, 1)
	start := native.CPU()
	for range n {
		if err := p.run(); err != nil {
			return err
		}
	}
	p.cpu = append(p.cpu, (native.CPU()-start)/float64(n))
	return nil
}

func (p *point) worst() float64 { return slices.Max(p.off) }

// middle is the median.
func middle(v []float64) float64 {
	s := slices.Clone(v)
	slices.Sort(s)
	if n := len(s); n%2 == 0 {
		return (s[n/2-1] + s[n/2]) / 2
	}
	return s[len(s)/2]
}

// halfDecades are from 10^first down to 10^last, rounded to a short number.
func halfDecades(first, last float64) []float64 {
	var out []float64
	for x := first; x > last-0.25; x -= 0.5 {
		v := math.Pow(10, x)
		if x != math.Trunc(x) {
			v = 3 * math.Pow(10, math.Floor(x))
		}
		out = append(out, v)
	}
	return out
}

// reach is how far, in decades, a point may lie from an error asked for to have a
// say in the time at that error: one tolerance is too much a matter of luck.
const reach = 1.5

// near is how far, in decades, the nearest point may lie from an error that the
// points do not surround.
const near = 0.5

// at returns the time at an error from a straight line through the logarithms of the
// points about it. It is not a number where they do not get there.
func (c *contender) at(err float64) float64 {
	var x, y []float64
	above, below := math.Inf(1), math.Inf(1) // distance of the nearest on either side
	for _, p := range c.points {
		e := p.worst()
		d := math.Log10(e / err)
		if !(e > 0) || len(p.cpu) == 0 || math.Abs(d) > reach {
			continue
		}
		if d >= 0 {
			above = min(above, d)
		}
		if d <= 0 {
			below = min(below, -d)
		}
		x, y = append(x, math.Log(e)), append(y, math.Log(middle(p.cpu)))
	}
	surrounded := max(above, below) <= reach
	if !surrounded && (len(x) < 3 || min(above, below) > near) || len(x) < 2 {
		return math.NaN()
	}
	a, b := stat.LinearRegression(x, y, nil, false)
	return math.Exp(a + b*math.Log(err))
}

// best returns the least time at an error among contenders.
func best(of []*contender, err float64) (t float64, name string) {
	t = math.NaN()
	for _, c := range of {
		if v := c.at(err); !(v >= t) && !math.IsNaN(v) {
			t, name = v, c.name
		}
	}
	return t, name
}

// ours is the project's integrator through package sim.
func (c *car) ours(rels []float64) (*contender, error) {
	k := &contender{name: "ours"}
	for _, rel := range rels {
		m, err := sim.New(c.config, sim.Tolerance(rel))
		if err != nil {
			return nil, err
		}
		p := &point{rel: rel, run: func() error { return c.go64(c.settled.On(m)) }}
		// A first run, so that the one measured begins with the step size that the
		// timed ones begin with: the last one's.
		if err := p.run(); err != nil {
			return nil, fmt.Errorf("ours at %g: %w", rel, err)
		}
		before := m.Stats()
		run, err := c.recorded(m)
		if err != nil {
			return nil, err
		}
		p.rates, p.steps = m.Stats().Rates-before.Rates, m.Stats().Steps-before.Steps
		y, along := make([]float64, len(c.y0)), make([][3]float64, len(c.times))
		for i, t := range c.times {
			run.StateAt(t, y)
			c.native.Seen(y, &along[i])
		}
		off := c.off(along)
		p.off = off[:]
		k.points = append(k.points, p)
	}
	return k, nil
}

// cvode is CVODE with the sizes given for its absolute tolerances.
func (c *car) cvode(name string, scales []float64, order int, rels []float64) (*contender, error) {
	k := &contender{name: name}
	for _, rel := range rels {
		s, err := c.native.Solver(rel, c.scaled(scales, rel), order)
		if err != nil {
			return nil, err
		}
		p := &point{rel: rel, free: s.Free, run: func() error {
			_, _, _, err := s.Run(c.y0, nil)
			return err
		}}
		_, along, work, err := s.Run(c.y0, c.times)
		if err != nil {
			// A solver that gives up has no time at this tolerance, and may at others.
			k.gaveUp = append(k.gaveUp, fmt.Sprintf("%s at %.0e: %v", name, rel, err))
			s.Free()
			continue
		}
		off := c.off(c.all(along))
		p.off, p.rates, p.steps = off[:], work.Rates, work.Steps
		k.points = append(k.points, p)
	}
	return k, nil
}

// plain are sizes that come from no knowledge of the model: a share of the largest
// that each state reaches.
func (c *car) plain(share float64) []float64 {
	out := make([]float64, len(c.most))
	for i, v := range c.most {
		out[i] = max(share*v, 1e-30)
	}
	return out
}
