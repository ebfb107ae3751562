//go:build sundials

package sim

import (
	"errors"
	"slices"
)

// A Replay is the right-hand side of a run with the inputs that the run had, for
// another solver to integrate. Nothing but the inputs is taken from the run: they do
// not depend on the state without a pump and a driver who seeks.
type Replay struct {
	plant *plant
	in    []inputs
	ends  []float64
	now   int
}

// Replay returns the run's inputs on a car of its own.
func (t *Trajectory) Replay() (*Replay, error) {
	m, err := New(t.m.config)
	if err != nil {
		return nil, err
	}
	r := &Replay{plant: m.plant}
	for i, p := range t.spans {
		if p.in.pumping || p.in.seek != nil {
			return nil, errors.New("the inputs of this run depend on its state")
		}
		if i > 0 {
			r.ends = append(r.ends, t.segments[p.first].T0)
		}
		r.in = append(r.in, p.in)
	}
	r.ends = append(r.ends, t.until)
	return r, nil
}

// Ends are the times at which the pieces of the inputs end, in s.
func (r *Replay) Ends() []float64 { return slices.Clone(r.ends) }

// Scales are the sizes of the states at which errors matter, in SI.
func (r *Replay) Scales() []float64 { return slices.Clone(r.plant.net.scales) }

// load puts the inputs at t into the plant. They have no jumps, so that at an end
// either neighbour will do.
func (r *Replay) load(t float64) {
	for r.now > 0 && t < r.ends[r.now-1] {
		r.now--
	}
	for r.now < len(r.ends)-1 && t > r.ends[r.now] {
		r.now++
	}
	r.plant.in = r.in[r.now]
}

// Rates writes the rates at y to dy.
func (r *Replay) Rates(t float64, y, dy []float64) {
	r.load(t)
	r.plant.net.Rates(t, y, dy)
}

// Observe returns every quantity at a state.
func (r *Replay) Observe(t float64, y []float64) State {
	r.load(t)
	return r.plant.observe(t, y)
}

// StepEnds are the times at which the solver's steps ended, in s.
func (t *Trajectory) StepEnds() []float64 {
	times := make([]float64, len(t.segments))
	for i, g := range t.segments {
		times[i] = g.T1
	}
	return times
}
