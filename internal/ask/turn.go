package ask

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"kneepoint/internal/batch"
	"kneepoint/internal/verdict"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
	"kneepoint/sim/study"
)

// A Turning is a figure that is not known, with how likely it is to turn a verdict when it
// alone lies anywhere in its range, every value taken as equally likely.
type Turning struct {
	Figure
	// Share is the share of its range in which a verdict is another one, to about an
	// eighth; of a figure that is one of two kinds it is a half or none.
	Share float64
	// Then says what turns, at the end of the range where more does.
	Then func(u si.System) string
}

// stand is what the verdicts are held against: in words, so that a figure that moves
// without changing what is said of the car counts for nothing.
type stand struct {
	everyday, panic string
	axle            verdict.Axle
	dead            int
	full            *study.Standing
}

// standings asks how the car does under each of n lots of settings, and says nil of one
// that the model refuses.
func (c *Car) standings(ctx context.Context, n int, w batch.Progress, settings func(i int) []scenario.Setting) ([]*stand, error) {
	found, err := study.Standings(ctx, n, max(1, c.Scenario.Choose.StopsLeft), w, func(i int) (*scenario.Scenario, error) {
		return c.Scenario.Edit(settings(i))
	})
	if err != nil {
		return nil, err
	}
	out := make([]*stand, n)
	for i, full := range found {
		if full != nil {
			s := standOf(full, c.Scenario)
			out[i] = &s
		}
	}
	return out, nil
}

// standOf counts of the stops with the engine dead no more than are wanted.
func standOf(full *study.Standing, s *scenario.Scenario) stand {
	out := stand{everyday: outOfReach, panic: full.Panic.Called(), axle: full.Panic.Axle, dead: min(full.Dead.Heavy, s.Choose.StopsLeft), full: full}
	if full.Everyday.Exists() {
		out.everyday = verdict.Effort(full.Everyday.Value())
	}
	return out
}

const outOfReach = "out of reach"

// than lists what is not as in another car.
func (s stand) than(base stand) []func(u si.System) string {
	var out []func(u si.System) string
	if s.panic != base.panic {
		out = append(out, func(u si.System) string {
			if p := s.full.Panic.Pedal; p.Exists() {
				return "in a panic " + si.Format(si.DimForce, float64(p.Value()), u)
			}
			return "in a panic: " + s.full.Panic.Said(u)
		})
	}
	if s.everyday != base.everyday {
		out = append(out, func(u si.System) string {
			if !s.full.Everyday.Exists() {
				return "every day " + outOfReach
			}
			return "every day " + si.Format(si.DimForce, float64(s.full.Everyday.Value()), u)
		})
	}
	if s.dead != base.dead {
		out = append(out, func(si.System) string {
			if s.dead == 1 {
				return "1 stop, engine dead"
			}
			return fmt.Sprintf("%d stops, engine dead", s.dead)
		})
	}
	if s.axle != base.axle && s.axle != verdict.NoAxle {
		out = append(out, func(si.System) string { return string(s.axle) + " locks first" })
	}
	return out
}

// The shares of a side of a range, from the value that is taken to its end, at which it
// is tried: the middles of four equal parts.
var tried = []float64{0.125, 0.375, 0.625, 0.875}

// turnings ranks the unknown figures. One at a time goes to both ends of its range, the
// others staying as they are, and on the side where an end turns a verdict to points
// between, on which it is taken to turn once. What only turns in the middle of a range and
// not at its ends is not seen, nor what takes two figures at once.
func (c *Car) turnings(ctx context.Context, base stand, w batch.Progress) ([]Turning, error) {
	type side struct {
		figure int
		end    float64
		weight float64
		then   stand
		turned int
	}
	var sides []side
	for i := range c.Unknown {
		f := &c.Unknown[i]
		if f.Other != "" {
			sides = append(sides, side{figure: i, weight: 0.5})
			continue
		}
		for _, end := range []float64{f.Low, f.High} {
			if end != f.Value && f.High > f.Low {
				sides = append(sides, side{figure: i, end: end, weight: max(end-f.Value, f.Value-end) / (f.High - f.Low)})
			}
		}
	}
	ends, err := c.standings(ctx, len(sides), w, func(k int) []scenario.Setting {
		f := &c.Unknown[sides[k].figure]
		if f.Other != "" {
			return f.other
		}
		return f.put(sides[k].end)
	})
	if err != nil {
		return nil, err
	}
	for k := range sides {
		s := &sides[k]
		s.then = base // beyond what the model takes the range ends before
		if ends[k] != nil {
			s.then = *ends[k]
		}
		if c.Unknown[s.figure].Other != "" && len(s.then.than(base)) > 0 {
			s.turned = len(tried)
		}
	}
	// The first point of a side from which on a verdict is another, by halving.
	type halved struct{ side, from, to int }
	var open []halved
	for k, s := range sides {
		if c.Unknown[s.figure].Other == "" && len(s.then.than(base)) > 0 {
			open = append(open, halved{k, 0, len(tried)})
		}
	}
	for len(open) > 0 {
		between, err := c.standings(ctx, len(open), w, func(i int) []scenario.Setting {
			s := &sides[open[i].side]
			f := &c.Unknown[s.figure]
			return f.put(f.Value + tried[(open[i].from+open[i].to)/2]*(s.end-f.Value))
		})
		if err != nil {
			return nil, err
		}
		var rest []halved
		for i, h := range open {
			if s, mid := between[i], (h.from+h.to)/2; s != nil && len(s.than(base)) > 0 {
				h.to = mid
			} else {
				h.from = mid + 1
			}
			if h.from < h.to {
				rest = append(rest, h)
			} else {
				sides[h.side].turned = len(tried) - h.from
			}
		}
		open = rest
	}
	out := make([]Turning, len(c.Unknown))
	most := make([]int, len(out))
	for i := range out {
		out[i].Figure = c.Unknown[i]
	}
	for _, s := range sides {
		t := &out[s.figure]
		t.Share += s.weight * float64(s.turned) / float64(len(tried))
		if what := s.then.than(base); len(what) > most[s.figure] {
			most[s.figure] = len(what)
			t.Then = saying(&c.Unknown[s.figure], s.end, what)
			if s.turned == 0 {
				t.Share += s.weight / float64(2*len(tried)) // the end alone
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Turning) int { return cmp.Compare(b.Share, a.Share) })
	return out, nil
}

func saying(f *Figure, end float64, what []func(u si.System) string) func(u si.System) string {
	return func(u si.System) string {
		at := f.Other
		if at == "" {
			at = f.Text(end, u)
		}
		text := fmt.Sprintf("at %s: ", at)
		if f.Other != "" {
			text = fmt.Sprintf("with %s: ", at)
		}
		return text + what[0](u)
	}
}
