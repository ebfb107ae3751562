package main

import (
	"context"
	"fmt"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"kneepoint/sim/diagnose"
	"kneepoint/sim/scenario"
	"kneepoint/sim/workshop"
)

// certain is the probability at which a technician stops testing.
const certain = 0.95

// A trial is one synthetic car taken through its recommended tests.
type trial struct {
	car *car
	// counts are the names that the car's fault counts as.
	counts []string
	// readings of every test there is, by its place in workshop.Tests.
	readings []scenario.Reading

	// tests and minutes are those to certainty, or to the end; done is all that
	// were recommended.
	tests, done int
	minutes     float64
	// rank is the place of the right answer, from 1; 0 if it is in none.
	rank int
	// said is every answer of the last diagnosis with its probability.
	said []said
}

type said struct {
	name  string
	p     float64
	right bool
}

// A loop is a kind of car with its library.
type loop struct {
	base    *scenario.Scenario
	library *diagnose.Library
	tests   []scenario.Reading
	seed    uint64
}

func newLoop(ctx context.Context, base *scenario.Scenario, seed uint64) (*loop, error) {
	l, err := diagnose.NewLibrary(ctx, base, nil, nil)
	if err != nil {
		return nil, err
	}
	if err := l.SimulatePairs(ctx); err != nil {
		return nil, err
	}
	return &loop{base: base, library: l, tests: workshop.Tests(base.Config), seed: seed}, nil
}

// run takes n cars through their tests, on all cores.
func (l *loop) run(ctx context.Context, n int) ([]*trial, error) {
	out := make([]*trial, n)
	errs := make([]error, n)
	var next atomic.Int64
	var group sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		group.Go(func() {
			for i := int(next.Add(1)) - 1; i < n && ctx.Err() == nil; i = int(next.Add(1)) - 1 {
				out[i], errs[i] = l.one(ctx, i)
			}
		})
	}
	group.Wait()
	for i, err := range errs {
		if err != nil {
			return nil, fmt.Errorf("car %d: %w", i, err)
		}
	}
	return out, ctx.Err()
}

func (l *loop) one(ctx context.Context, n int) (*trial, error) {
	t := &trial{car: drawCar(&l.base.Config, n, l.seed)}
	var err error
	if t.counts, err = l.counts(ctx, t.car); err != nil {
		return nil, err
	}
	bay := workshop.NewRig(t.car.own, l.base.Reserve, t.car.gauges)
	for _, test := range l.tests {
		outcome, err := bay.Outcome(ctx, test)
		if err != nil {
			return nil, err
		}
		t.readings = append(t.readings, t.car.read(test, outcome))
	}
	var readings []scenario.Reading
	for sure := false; ; {
		d, err := l.library.Weigh(ctx, readings)
		if err != nil {
			return nil, err
		}
		sure = sure || surest(d) >= certain
		if d.Next == nil {
			t.judge(d)
			return t, nil
		}
		k := slices.Index(l.tests, d.Next.Conditions())
		readings = append(readings, t.readings[k])
		t.done++
		if !sure {
			t.tests++
			t.minutes += d.Next.Minutes
		}
	}
}

// counts are the answers that are right for a car. A fault that is not in the
// list is right to be called unexplained.
func (l *loop) counts(ctx context.Context, c *car) ([]string, error) {
	same, err := l.library.IndistinguishableFrom(ctx, c.nominal)
	if err != nil {
		return nil, err
	}
	if c.kind == outside {
		same = append(same, diagnose.Unexplained)
		return same, nil
	}
	if !slices.Contains(same, c.name) {
		same = append(same, c.name)
	}
	return same, nil
}

func surest(d *diagnose.Diagnosis) float64 { return max(d.Unexplained, d.Suspects[0].Together) }

// judge ranks the groups of a diagnosis, with what is unexplained among them.
func (t *trial) judge(d *diagnose.Diagnosis) {
	for i := 0; i < len(d.Suspects); {
		s := d.Suspects[i]
		n := 1 + len(s.IndistinguishableFrom)
		g := said{name: s.Fault, p: s.Together}
		for _, member := range d.Suspects[i : i+n] {
			g.right = g.right || slices.Contains(t.counts, member.Fault) || slices.Contains(t.counts, reversed(member))
		}
		t.said = append(t.said, g)
		i += n
	}
	t.said = append(t.said, said{diagnose.Unexplained, d.Unexplained, slices.Contains(t.counts, diagnose.Unexplained)})
	slices.SortStableFunc(t.said, func(a, b said) int {
		switch {
		case a.p > b.p:
			return -1
		case a.p < b.p:
			return 1
		}
		return 0
	})
	for i, s := range t.said {
		if s.right {
			t.rank = i + 1
			break
		}
	}
}

// reversed is a pair named the other way round.
func reversed(s diagnose.Suspect) string {
	if len(s.Faults) != 2 {
		return s.Fault
	}
	return s.Faults[1] + " + " + s.Faults[0]
}
