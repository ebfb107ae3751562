package main

import (
	"context"
	"fmt"
	"os"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"kneepoint/internal/diagnose"
	"kneepoint/internal/workshop"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
)

// A trial is one synthetic car taken through its recommended tests.
type trial struct {
	car       *car
	complaint scenario.Complaint
	// counts are the names that the car's fault counts as.
	counts []string
	// saidShort says that the answer calls the vacuum too little.
	saidShort bool
	// readings are those taken until the diagnosis is settled, as an interview does.
	readings []scenario.Reading
	minutes  float64
	// side is that of the answer, parts that its first fault needs parts, and surely that
	// it is told to replace them.
	side          sim.Side
	parts, surely bool
	// begun says that the first repair is one that the car needs, stated with begins.
	begun  bool
	begins float64
	// rank is the place of the right answer, from 1; 0 if it is in none.
	rank int
	// said is every answer of the last diagnosis with its probability.
	said []said
}

type said struct {
	name string
	// names are those of all faults in it, joined.
	names string
	p     float64
	right bool
}

// A loop is a kind of car with its library.
type loop struct {
	base    *scenario.Scenario
	library *diagnose.Library
	faults  []sim.FaultName
	seed    uint64
	// short says that the car as written is short of vacuum, by its force curve.
	short bool
	// thorough says that every test which tells anything is done until one answer has 95 %,
	// whether it is worth its minutes or not: what the tests can tell, and not when to stop.
	thorough bool
	// watched says that every car is told of as it comes.
	watched bool
}

func newLoop(ctx context.Context, base *scenario.Scenario, seed uint64) (*loop, error) {
	l, err := diagnose.NewLibrary(ctx, base, nil, nil)
	if err != nil {
		return nil, err
	}
	return &loop{base: base, library: l, faults: canHave(&base.Config), seed: seed}, nil
}

// canHave are the faults that a car has parts for.
func canHave(c *sim.Config) []sim.FaultName {
	front, rear := c.Car.FrontBrake.Kind.IsDrum(), c.Car.RearBrake.Kind.IsDrum()
	return slices.DeleteFunc(sim.FaultNames(), func(f sim.FaultName) bool {
		return f == sim.FaultCaliperSeized && front || f == sim.FaultShoesOutOfAdjustment && !front && !rear
	})
}

// run takes n cars through their tests, of one kind after the other in turn, on all cores;
// after an interrupt those that were done.
func run(ctx context.Context, loops []*loop, n int) ([]*trial, error) {
	out := make([]*trial, n)
	err := onAllCores(n, func(i int) error {
		l := loops[i%len(loops)]
		t, err := l.one(ctx, i/len(loops))
		switch {
		case ctx.Err() != nil:
			return nil
		case err != nil:
			return fmt.Errorf("%s, car %d: %w", l.base.Title, i, err)
		}
		if out[i] = t; l.watched {
			fmt.Fprintln(os.Stderr, t.words())
		}
		return nil
	})
	return slices.DeleteFunc(out, func(t *trial) bool { return t == nil }), err
}

func (l *loop) one(ctx context.Context, n int) (*trial, error) {
	c, err := l.draw(ctx, n)
	if err != nil {
		return nil, err
	}
	t := &trial{car: c}
	if t.complaint, err = l.complaint(ctx, c); err != nil {
		return nil, err
	}
	if t.counts, err = l.counts(ctx, c); err != nil {
		return nil, err
	}
	library := l.library.Under(t.complaint)
	bay := workshop.NewRig(c.own, l.base.Reserve, c.technician.gauges)
	for {
		d, err := library.Weigh(ctx, t.readings)
		if err != nil {
			return nil, err
		}
		if d.Next == nil || !l.thorough && d.Settled || l.thorough && len(t.readings) > 0 && surest(d) >= 0.95 {
			t.judge(d)
			return t, nil
		}
		r, ok := c.look(d.Next.Conditions())
		if !ok {
			outcome, err := bay.Outcome(ctx, r)
			if err != nil {
				return nil, err
			}
			r = c.read(r, outcome)
		}
		t.readings = append(t.readings, r)
		t.minutes += d.Next.Minutes
	}
}

// draw draws car number n. One of a car with enough vacuum whose own figures leave it short
// all the same would carry a fault that nobody drew: it is drawn again.
func (l *loop) draw(ctx context.Context, n int) (*car, error) {
	const most = 1000
	if l.short {
		n = numberOfSingle(n)
	}
	for k := range uint64(most) {
		c := drawCar(&l.base.Config, n, l.seed, l.faults, k)
		if l.short {
			return c, nil
		}
		switch short, err := isShort(ctx, l.base, c.before); {
		case err != nil:
			return nil, err
		case !short:
			return c, nil
		}
	}
	return nil, fmt.Errorf("%s, car %d: short of vacuum in each of %d draws", l.base.Title, n, most)
}

// complaint is what the driver of a car says who knew it before something went wrong.
func (l *loop) complaint(ctx context.Context, c *car) (scenario.Complaint, error) {
	if c.kind == sound {
		// Three of ten have it looked at for what is no fault.
		if all := scenario.Complaints(); c.rng.Float64() < 0.3 {
			return all[c.rng.IntN(len(all))], nil
		}
		return "", nil
	}
	now, err := driveOff(ctx, c.own, l.base.Reserve)
	if err != nil {
		return "", err
	}
	before, err := driveOff(ctx, c.before, l.base.Reserve)
	return c.complains(now, before), err
}

// counts are the answers that are right for a car. A fault that is not in the list is right
// to be called unexplained, and one that only signs show is nothing else.
func (l *loop) counts(ctx context.Context, c *car) ([]string, error) {
	same, err := l.library.IndistinguishableFrom(ctx, c.nominal)
	if err != nil {
		return nil, err
	}
	if c.kind == outside {
		if c.rearDrags {
			same = nil
		}
		return append(same, diagnose.Unexplained), nil
	}
	if !slices.Contains(same, c.name) {
		same = append(same, c.name)
	}
	return same, nil
}

func surest(d *diagnose.Diagnosis) float64 { return max(d.Unexplained, d.Suspects[0].Together) }

// judge ranks the groups of a diagnosis, with what is unexplained among them.
func (t *trial) judge(d *diagnose.Diagnosis) {
	t.side, t.saidShort = d.Side, d.Vacuum.Short
	t.begins = d.Repair.Probability
	for _, name := range append(strings.Split(t.car.name, " + "), t.counts...) {
		t.begun = t.begun || workshop.JobOf(sim.FaultName(name)) == d.Repair.Job
	}
	if top := &d.Suspects[0]; top.Together > d.Unexplained {
		for _, f := range top.Faults {
			t.parts = t.parts || needsParts(sim.FaultName(f))
		}
		t.surely = t.parts && top.Together >= 0.8
	}
	for i := 0; i < len(d.Suspects); {
		s := d.Suspects[i]
		n := 1 + len(s.IndistinguishableFrom)
		g := said{name: s.Fault, p: s.Together}
		for _, member := range d.Suspects[i : i+n] {
			g.names = strings.TrimPrefix(g.names+" + "+member.Fault, " + ")
			g.right = g.right || slices.Contains(t.counts, member.Fault) || slices.Contains(t.counts, reversed(member))
		}
		t.said = append(t.said, g)
		i += n
	}
	t.said = append(t.said, said{diagnose.Unexplained, diagnose.Unexplained, d.Unexplained, slices.Contains(t.counts, diagnose.Unexplained)})
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

// namesOnlyWhatIs says whether the first answer names nothing that the car does not have: one
// of its two faults too.
func (t *trial) namesOnlyWhatIs() bool {
	if t.said[0].right {
		return true
	}
	has := strings.Split(t.car.name, " + ")
	for _, name := range strings.Split(t.said[0].name, " + ") {
		if !slices.Contains(has, name) && !slices.Contains(t.counts, name) {
			return false
		}
	}
	return true
}

// needsParts says that something has to be bought for a fault: the rest is set, freed or bled.
func needsParts(f sim.FaultName) bool {
	switch f {
	case sim.FaultPushrodTooLong, sim.FaultPushrodTooShort, sim.FaultPedalRatioWrong, sim.FaultPedalBinds, sim.FaultAirInCircuit,
		sim.FaultReturnPortCovered, sim.FaultShoesOutOfAdjustment, sim.FaultLowSourceVacuum, sim.FaultFluidBoiled:
		return false
	}
	return true
}

// rightSide says whether the side of the answer is that of the fault; of a fault that counts
// as none no side is right too. ok is false where the fault has no one side.
func (t *trial) rightSide() (right, ok bool) {
	if t.car.kind != single {
		return false, false
	}
	for _, name := range t.counts {
		right = right || t.side == sim.FaultName(name).Side() || name == diagnose.NoFault && t.side == sim.SideNone
	}
	return right, true
}

// reversed is a pair named the other way round.
func reversed(s diagnose.Suspect) string {
	if len(s.Faults) != 2 {
		return s.Fault
	}
	return s.Faults[1] + " + " + s.Faults[0]
}

// onAllCores calls do for 0 to n-1 and waits; the first error is returned.
func onAllCores(n int, do func(i int) error) error {
	var next atomic.Int64
	var group sync.WaitGroup
	var once sync.Once
	var failed error
	for range runtime.GOMAXPROCS(0) {
		group.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				if err := do(i); err != nil {
					once.Do(func() { failed = err })
					return
				}
			}
		})
	}
	group.Wait()
	return failed
}
