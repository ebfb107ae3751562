package sim

import (
	"sort"

	"kneepoint/internal/ode"
	"kneepoint/sim/si"
)

// A Trajectory is a run that can be sampled at any time within it.
type Trajectory struct {
	m           *Model
	from, until float64
	start       State
	segments    []ode.Segment
	spans       []span
}

// span is a stretch of segments under the same inputs.
type span struct {
	first int
	in    inputs
}

func (t *Trajectory) open(in inputs) {
	if n := len(t.spans); n > 0 && t.spans[n-1].first == len(t.segments) {
		t.spans[n-1].in = in
		return
	}
	t.spans = append(t.spans, span{len(t.segments), in})
}

func (t *Trajectory) add(step *ode.Step) {
	if in := t.m.plant.in; in.pumping != t.spans[len(t.spans)-1].in.pumping {
		t.open(in)
	}
	t.segments = append(t.segments, step.Dense())
	t.until = step.T1
}

// From and Until return the times between which the trajectory can be sampled.
func (t *Trajectory) From() si.Time { return si.Time(t.from) }

// Until returns the end of the trajectory.
func (t *Trajectory) Until() si.Time { return si.Time(t.until) }

// At returns every quantity at a time; one outside the run is moved to its end.
func (t *Trajectory) At(at si.Time) State {
	if len(t.segments) == 0 {
		return t.start
	}
	now := min(max(float64(at), t.from), t.until)
	p := t.m.plant
	i := sort.Search(len(t.segments), func(i int) bool { return t.segments[i].T1 >= now })
	i = min(i, len(t.segments)-1)
	k := sort.Search(len(t.spans), func(k int) bool { return t.spans[k].first > i }) - 1
	keep := p.in
	p.in = t.spans[k].in
	y := make([]float64, p.net.Size())
	t.segments[i].At(now, y)
	s := p.observe(now, y)
	p.in = keep
	return s
}

// Every returns the states at equal intervals over the whole run, the last one
// at its end.
func (t *Trajectory) Every(d si.Time) []State {
	n := int((t.until-t.from)/float64(d) + 1e-9)
	out := make([]State, 0, n+2)
	for i := range n + 1 {
		out = append(out, t.At(si.Time(t.from)+d*si.Time(i)))
	}
	if last := out[len(out)-1].Time; float64(last) < t.until-1e-9 {
		out = append(out, t.At(si.Time(t.until)))
	}
	return out
}
