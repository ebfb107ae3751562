//go:build sundials

package main

import (
	"context"
	"fmt"
	"math"

	"kneepoint/internal/cvode/native"
	"kneepoint/internal/ode"
)

// A classic is a stiff problem of the literature as sums of products of its states. The
// table of its rates and the one of its Jacobian serve both sides, Go and C.
type classic struct {
	name    string
	size    int
	terms   []term
	y0      map[int]float64
	end     float64
	scale   []float64    // of the absolute tolerances, and in the measure of errors
	want    []float64    // published end state; nil where none is exact enough
	columns native.Table // of the Jacobian
	rates   native.Table
	entries native.Table // of the Jacobian, by entries of the pattern
	pattern *ode.Pattern
}

// A term is k times the product of states, which goes with factors into rates.
type term struct {
	k       float64
	factors []int
	into    map[int]float64
}

func (c *classic) Size() int                               { return c.size }
func (c *classic) Pattern() *ode.Pattern                   { return c.pattern }
func (c *classic) Rates(_ float64, y, dy []float64)        { c.rates.Eval(y, dy) }
func (c *classic) Jacobian(_ float64, y, jac, _ []float64) { c.entries.Eval(y, jac) }

// plan works the tables out.
func (c *classic) plan() error {
	c.rates.Places, c.columns.Places = c.size, c.size*c.size
	index := map[[2]int]int64{}
	var pattern [][2]int
	for _, t := range c.terms {
		var feeds []native.Feed
		for i := range c.size {
			if f := t.into[i]; f != 0 {
				feeds = append(feeds, native.Feed{Factor: f, Place: int64(i)})
			}
		}
		c.rates.Add(t.k, t.factors, feeds...)
		for j, by := range t.factors {
			var rest []int
			rest = append(append(rest, t.factors[:j]...), t.factors[j+1:]...)
			var sparse, dense []native.Feed
			for _, f := range feeds {
				at := [2]int{int(f.Place), by}
				if _, known := index[at]; !known {
					index[at] = int64(len(pattern))
					pattern = append(pattern, at)
				}
				sparse = append(sparse, native.Feed{Factor: f.Factor, Place: index[at]})
				dense = append(dense, native.Feed{Factor: f.Factor, Place: int64(by*c.size) + f.Place})
			}
			c.entries.Add(t.k, rest, sparse...)
			c.columns.Add(t.k, rest, dense...)
		}
	}
	c.entries.Places = len(pattern)
	var err error
	c.pattern, err = ode.NewPattern(c.size, pattern)
	return err
}

func (c *classic) start() []float64 {
	y := make([]float64, c.size)
	for i, v := range c.y0 {
		y[i] = v
	}
	return y
}

func (c *classic) abs(rel float64) []float64 {
	out := make([]float64, c.size)
	for i, s := range c.scale {
		out[i] = rel * s
	}
	return out
}

// off is the largest difference of an end state, in the test set's mixed measure
// |y| + scale.
func (c *classic) off(got, want []float64) float64 {
	worst := 0.0
	for i, w := range want {
		worst = max(worst, math.Abs(got[i]-w)/(math.Abs(w)+c.scale[i]))
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

func (c *classic) ours(rels []float64, want []float64) (*contender, error) {
	k := &contender{name: "ours"}
	for _, rel := range rels {
		s, err := ode.New(c, ode.Tolerance{Rel: rel, Abs: c.abs(rel)}, ode.MaxSteps(10_000_000))
		if err != nil {
			return nil, err
		}
		y0 := c.start()
		p := &point{rel: rel, run: func() error {
			s.Reset(0, y0)
			s.ForgetStep()
			return s.Advance(context.Background(), c.end, nil)
		}}
		if err := p.run(); err != nil {
			return nil, fmt.Errorf("%s, ours at %g: %w", c.name, rel, err)
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

func (c *classic) cvode(t *native.Tables, rels []float64, want []float64) (*contender, error) {
	k := &contender{name: "CVODE"}
	for _, rel := range rels {
		s, err := t.Solver(rel, c.abs(rel))
		if err != nil {
			return nil, err
		}
		y0 := c.start()
		p := &point{rel: rel, free: s.Free, run: func() error {
			_, _, _, err := s.Run(y0, nil)
			return err
		}}
		end, _, work, err := s.Run(y0, nil)
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
	*classic
	us, them *contender
	nanos    [2]float64 // of a right-hand side in Go and C
	agree    [2]float64 // of the tight runs, ours with CVODE's, ours with the published
}

const tightRel = 1e-12

func (c *classic) prepare() (*classicResult, error) {
	if err := c.plan(); err != nil {
		return nil, err
	}
	t, err := native.NewTables(&c.rates, &c.columns, c.end)
	if err != nil {
		return nil, err
	}
	s, err := ode.New(c, ode.Tolerance{Rel: tightRel, Abs: c.abs(tightRel)}, ode.MaxSteps(100_000_000))
	if err != nil {
		return nil, err
	}
	s.Reset(0, c.start())
	if err := s.Advance(context.Background(), c.end, nil); err != nil {
		return nil, err
	}
	cv, err := t.Solver(tightRel, c.abs(tightRel))
	if err != nil {
		return nil, err
	}
	defer cv.Free()
	end, _, _, err := cv.Run(c.start(), nil)
	if err != nil {
		return nil, err
	}
	r := &classicResult{classic: c}
	want := c.want
	r.agree = [2]float64{c.off(s.State(), end), math.NaN()}
	if want == nil {
		want = append(want, s.State()...)
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
	y, dy := append([]float64(nil), s.State()...), make([]float64, c.size)
	const calls = 100_000
	start := native.CPU()
	for range calls {
		c.Rates(0, y, dy)
	}
	r.nanos[0] = (native.CPU() - start) / calls * 1e9
	r.nanos[1] = t.RatesTime(calls, y) / calls * 1e9
	return r, nil
}
