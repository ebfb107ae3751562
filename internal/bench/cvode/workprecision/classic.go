//go:build sundials

package main

import (
	"context"
	"fmt"
	"math"
	"slices"

	"kneepoint/internal/bench/classic"
	"kneepoint/internal/bench/cvode/native"
	"kneepoint/internal/ode"
)

// A stiff is a classic problem as both sides solve it: the tables of its rates and of its
// Jacobian serve Go and C.
type stiff struct {
	*classic.Problem
	pattern *ode.Pattern
	columns classic.Table // the Jacobian, dense by columns
	want    []float64     // end state on record; nil where none is exact enough
}

func newStiff(p *classic.Problem) (*stiff, error) {
	pattern, err := ode.NewPattern(p.Size(), p.Entries)
	if err != nil {
		return nil, err
	}
	s := &stiff{Problem: p, pattern: pattern, columns: p.J}
	s.columns.Places = p.Size() * p.Size()
	s.columns.Feeds = slices.Clone(p.J.Feeds)
	for i, f := range p.J.Feeds {
		at := p.Entries[f.Place]
		s.columns.Feeds[i].Place = int64(at[1]*p.Size() + at[0])
	}
	if p.Compared == nil {
		s.want = p.End().Values
	}
	return s, nil
}

func (c *stiff) Pattern() *ode.Pattern { return c.pattern }

func (c *stiff) String() string { return fmt.Sprintf("%s, to %g", c.Name, c.End().Time) }

func (c *stiff) abs(rel float64) []float64 {
	out := make([]float64, c.Size())
	for i, s := range c.Scale {
		out[i] = rel * s
	}
	return out
}

// off is the largest difference of an end state, in the test set's mixed measure
// |y| + scale.
func (c *stiff) off(got, want []float64) float64 {
	worst := 0.0
	for i, w := range want {
		worst = max(worst, math.Abs(got[i]-w)/(math.Abs(w)+c.Scale[i]))
	}
	return worst
}

// leastTiming is how long one timing lasts at least, in s: runs are short.
const leastTiming = 2e-3

// settle finds out how often to repeat a point.
func (p *point) settle() error {
	if err := p.time(); err != nil {
		return err
	}
	p.repeat = int(math.Ceil(leastTiming / max(p.cpu[0], 1e-7)))
	p.cpu = nil
	return nil
}

func (c *stiff) ours(rels []float64, want []float64) (*contender, error) {
	k := &contender{name: "ours"}
	for _, rel := range rels {
		s, err := ode.New(c, ode.Tolerance{Rel: rel, Abs: c.abs(rel)}, ode.MaxSteps(10_000_000))
		if err != nil {
			return nil, err
		}
		p := &point{rel: rel, run: func() error {
			s.Reset(0, c.Start)
			s.ForgetStep()
			return s.Advance(context.Background(), c.End().Time, nil)
		}}
		if err := p.run(); err != nil {
			return nil, fmt.Errorf("%s, ours at %g: %w", c, rel, err)
		}
		p.off = []float64{c.off(s.State(), want)}
		p.rates, p.steps = s.Stats().Rates, s.Stats().Steps
		if err := p.settle(); err != nil {
			return nil, err
		}
		k.points = append(k.points, p)
	}
	return k, nil
}

func (c *stiff) cvode(t *native.Tables, rels []float64, want []float64) (*contender, error) {
	k := &contender{name: "CVODE"}
	for _, rel := range rels {
		s, err := t.Solver(rel, c.abs(rel))
		if err != nil {
			return nil, err
		}
		p := &point{rel: rel, free: s.Free, run: func() error {
			_, _, _, err := s.Run(c.Start, nil)
			return err
		}}
		end, _, work, err := s.Run(c.Start, nil)
		if err != nil {
			// A tolerance too wide for it is no point of the curve.
			s.Free()
			continue
		}
		p.off, p.rates, p.steps = []float64{c.off(end, want)}, work.Rates, work.Steps
		if err := p.settle(); err != nil {
			return nil, err
		}
		k.points = append(k.points, p)
	}
	return k, nil
}

// A classicResult is one problem's comparison.
type classicResult struct {
	*stiff
	us, them *contender
	nanos    [2]float64 // of a right-hand side in Go and C
	agree    [2]float64 // of the tight runs, ours with CVODE's, ours with the published
}

const tightRel = 1e-12

func (c *stiff) prepare() (*classicResult, error) {
	t, err := native.NewTables(&c.F, &c.columns, c.End().Time)
	if err != nil {
		return nil, err
	}
	s, err := ode.New(c, ode.Tolerance{Rel: tightRel, Abs: c.abs(tightRel)}, ode.MaxSteps(100_000_000))
	if err != nil {
		return nil, err
	}
	s.Reset(0, c.Start)
	if err := s.Advance(context.Background(), c.End().Time, nil); err != nil {
		return nil, err
	}
	cv, err := t.Solver(tightRel, c.abs(tightRel))
	if err != nil {
		return nil, err
	}
	defer cv.Free()
	end, _, _, err := cv.Run(c.Start, nil)
	if err != nil {
		return nil, err
	}
	r := &classicResult{stiff: c}
	want := c.want
	r.agree = [2]float64{c.off(s.State(), end), math.NaN()}
	if want == nil {
		want = slices.Clone(s.State())
	} else {
		r.agree[1] = c.off(s.State(), want)
	}
	rels := halfDecades(-2, -9)
	if r.us, err = c.ours(rels, want); err != nil {
		return nil, err
	}
	if r.them, err = c.cvode(t, rels, want); err != nil {
		return nil, err
	}
	y, dy := slices.Clone(s.State()), make([]float64, c.Size())
	const calls = 100_000
	start := native.CPU()
	for range calls {
		c.Rates(0, y, dy)
	}
	r.nanos[0] = (native.CPU() - start) / calls * 1e9
	r.nanos[1] = t.RatesTime(calls, y) / calls * 1e9
	return r, nil
}
