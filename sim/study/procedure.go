package study

import (
	"context"
	"math"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// How the tests are done where no condition says it (estimates).
const (
	engineRuns   si.Time = 120 // before anything is read: a minute or two at idle
	pressTime    si.Time = 1   // the foot goes down without a jerk
	pressHeld    si.Time = 4   // until the needle stands still
	stoppedFor   si.Time = 1   // from stopping the engine to the first reading
	startFor     si.Time = 8   // that a foot waits for the pedal to drop
	startPedal           = si.Force(100)
	checkKeeps           = si.Vacuum(400) // what the check valve needs to open
	reachWithin          = 300.0          // Pa by which a wanted vacuum may be missed
	reachTries           = 4
	gaugeShows           = 5e-3 // m of pedal travel that a foot feels
	mostPumps            = 8
	standsWithin         = 5e-3 // m of pedal travel within which a sinking pedal stands
	backWithin           = 1 * float64(si.InchOfMercury)
	waitMost     si.Time = 30   // after which nobody looks at a needle any longer
	quickPress   si.Time = 0.2  // a foot in a hurry, pressing or letting go
	watchedTo            = 1e-3 // s: the cell in which a time is found
	keepsLine            = 0.5  // share of the first line pressure that still feels helped
	keepsHelp            = 0.25 // share of the output that the booster gives then
)

// benchTolerance keeps vacua within some pascals and line pressures within some
// hundreds, far below what a gauge shows, and the figures of a diagnosis within a
// thousandth: twice as wide moves by more what the line pressure of a sound car
// rises by when the engine stops.
const benchTolerance = 1.2e-5

// Gauges are the errors of the instruments used on one car: what they show is
// wrong by the same amount in every test.
type Gauges struct {
	// Vacuum is added to every vacuum read.
	Vacuum si.Vacuum
	// Pedal is the share by which the force at the pedal is more than it reads.
	Pedal si.Ratio
}

// A Bay is one car in the workshop, with the instruments used on it. It belongs
// to one goroutine.
type Bay struct {
	config  sim.Config
	reserve scenario.Reserve
	gauges  Gauges

	model   *sim.Model
	running *sim.Session
	filled  map[si.Vacuum]*sim.Session
	pressed map[grip]sim.State
	book    *book
}

// NewBay takes a car into the workshop; the pumps of stops-left are pressed as
// the stops of r.
func NewBay(c sim.Config, r scenario.Reserve, g Gauges) *Bay {
	if r.Deceleration > 0 {
		r.Pedal, r.Deceleration = startPedal, 0
	}
	return &Bay{config: c, reserve: r, gauges: g, filled: map[si.Vacuum]*sim.Session{}, pressed: map[grip]sim.State{}}
}

// Outcome does the test of a reading under its conditions and returns what a
// perfect eye would read off the instruments, in SI. What the
// car has no way of showing, a booster's vacuum without a booster, is NaN.
//
// leak-down, line-pressure: the vacuum is that of a hand pump at the booster's
// check valve, so that hose and source have no part in it; a line pressure at no
// vacuum is read with the engine off. A leak-down with the pedal held is filled
// with it held.
//
// pressure-creep: the pedal is pressed at idle and held, then the engine stops.
//
// manifold-vacuum, booster-vacuum: at idle; the latter at the booster's end of
// the hose, before the check valve.
//
// stops-left: the engine stops, then the pedal is pumped as the stops of
// [reserve] are, until the line pressure is below half of what the same foot had
// with the engine running, or the booster gives less than a quarter of the push.
// The whole part of the outcome is the number of pumps before that one; the rest
// says how near the next came.
//
// pedal-travel: as a line pressure, and what the pedal has gone from rest.
//
// pedal-settles: at idle, pressed within 0.2 s and held; the outcome is the time
// from the beginning until the pedal is within 5 mm of where it stands after 30 s.
//
// recharge: at idle, pressed and held, then let go; the outcome is the time from
// letting go until the booster's vacuum is back to within 1 inHg of what it was,
// 30 s at most.
//
// pedal-drops-on-start: the booster is empty, a light foot rests on the pedal and
// the engine starts; the outcome is how far the pedal goes down within 8 s.
func (b *Bay) Outcome(ctx context.Context, r scenario.Reading) (float64, error) {
	return b.outcome(ctx, trialOf(r))
}

// says reports whether a car has what the trial looks at.
func (t trial) says(c *sim.Config) bool {
	byFoot := t.test == scenario.LinePressure || t.test == scenario.PedalTravel
	return c.Booster.Kind != sim.NoBooster || byFoot && t.start == 0
}

func (b *Bay) outcome(ctx context.Context, t trial) (float64, error) {
	if !t.says(&b.config) {
		return math.NaN(), nil
	}
	t.pedal *= si.Force(1 + b.gauges.Pedal)
	if t.start > 0 {
		t.start = max(0, t.start-b.gauges.Vacuum)
	}
	if t.test == scenario.ManifoldVacuum || t.test == scenario.BoosterVacuum {
		s, err := b.idling(ctx)
		if err != nil {
			return 0, err
		}
		v := s.State().ManifoldVacuum
		if t.test == scenario.BoosterVacuum {
			v = s.State().HoseVacuum
		}
		return max(0, float64(v+b.gauges.Vacuum)), nil
	}
	return b.book.once(b.entry(t), func() (float64, error) { return b.perform(ctx, t) })
}

// perform does a trial whose conditions are what the car has of them, and not what
// the gauges say.
func (b *Bay) perform(ctx context.Context, t trial) (float64, error) {
	switch t.test {
	case scenario.LeakDown:
		return b.leakDown(ctx, t)
	case scenario.LinePressure:
		s, err := b.held(ctx, t)
		return float64(s.LineFront), err
	case scenario.PedalTravel:
		s, err := b.held(ctx, t)
		return float64(s.PedalTravel), err
	case scenario.PedalSettles:
		return b.settles(ctx, t)
	case scenario.Recharge:
		return b.comesBack(ctx, t)
	case scenario.PressureCreep:
		return b.creep(ctx, t)
	case scenario.StopsLeft:
		return b.stopsLeft(ctx)
	default:
		return b.drops(ctx)
	}
}

// empty opens a session with the car's own source, shut off, and no vacuum.
func (b *Bay) empty(ctx context.Context) (*sim.Session, error) {
	if b.model == nil {
		m, err := modelWithin(ctx, b.config, benchTolerance)
		if err != nil {
			return nil, err
		}
		b.model = m
	}
	return b.model.Start(), nil
}

// idling returns the car with its engine running for a while; fork it.
func (b *Bay) idling(ctx context.Context) (*sim.Session, error) {
	if b.running != nil {
		return b.running, nil
	}
	s, err := b.empty(ctx)
	if err != nil {
		return nil, err
	}
	s.Engine(sim.Idle)
	if err := s.Advance(ctx, engineRuns); err != nil {
		return nil, err
	}
	b.running = s
	return s, nil
}

// atHandPump is the car with a hand pump, that has pumped nothing yet, at the booster
// in place of all that is before the check valve.
func (b *Bay) atHandPump() sim.Config {
	c := b.config
	c.Faults = nil
	for _, f := range b.config.Faults {
		if f.Name != sim.LowSourceVacuum && f.Name != sim.HoseRestricted && f.Name != sim.HoseLeak {
			c.Faults = append(c.Faults, f)
		}
	}
	c.Pump = sim.Pump{}
	c.Source.Kind, c.Source.Vacuum = sim.Bench, 0
	return c
}

// fill returns the car with a hand pump at the booster that keeps it at a
// vacuum; fork it. A leak may ask more of the pump than there is.
func (b *Bay) fill(ctx context.Context, v si.Vacuum) (*sim.Session, error) {
	if s := b.filled[v]; s != nil {
		return s, nil
	}
	c := b.atHandPump()
	most := min(0.97*float64(c.Ambient.Pressure), 0.97*float64(c.Booster.Spring)/float64(c.Booster.TailArea))
	pull := min(float64(v+checkKeeps), most)
	for range reachTries {
		c.Source.Vacuum = si.Vacuum(pull)
		m, err := modelWithin(ctx, c, benchTolerance)
		if err != nil {
			return nil, err
		}
		s := m.Start()
		s.Engine(sim.Idle)
		if err := s.Advance(ctx, engineRuns); err != nil {
			return nil, err
		}
		b.filled[v] = s
		short := float64(v - s.State().FrontVacuum)
		if short < reachWithin || pull >= most {
			break
		}
		pull = min(most, pull+1.5*short)
	}
	return b.filled[v], nil
}

// hold presses the pedal and gives the chambers time to follow.
func hold(ctx context.Context, s *sim.Session, f si.Force) error {
	s.Pedal(f, pressTime)
	return s.Advance(ctx, pressTime+pressHeld)
}

// stopsLeft counts pumps. The outcome goes on between whole numbers, by how
// close the last pump came to counting.
func (b *Bay) stopsLeft(ctx context.Context) (float64, error) {
	running, err := b.idling(ctx)
	if err != nil {
		return 0, err
	}
	s := running.Fork()
	first, err := press(ctx, running.Fork(), b.reserve, b.foot())
	if err != nil {
		return 0, err
	}
	s.Engine(sim.Off)
	if err := s.Advance(ctx, firstStopAt); err != nil {
		return 0, err
	}
	last := 0.0
	for pump := range mostPumps {
		begin := s.Time()
		held, err := press(ctx, s, b.reserve, b.foot())
		if err != nil {
			return 0, err
		}
		// At 1 or more the pump counts.
		good := min(float64(held.LineFront/first.LineFront)/keepsLine, float64(share(held))/keepsHelp)
		if !(good >= 1) {
			if pump == 0 {
				return max(0, good), nil
			}
			return float64(pump) + (last-1)/(last-good), nil
		}
		last = good
		if err := s.AdvanceTo(ctx, begin+b.reserve.Cycle()); err != nil {
			return 0, err
		}
	}
	return mostPumps, nil
}

// since is the time from a moment of a record of waitMost until a quantity has come
// up to 0, waitMost if it does not; it is taken to stay there.
func (b *Bay) since(s *sim.Session, from si.Time, of func(sim.State) float64) float64 {
	if of(s.State()) < 0 {
		return float64(waitMost)
	}
	record := s.Trajectory()
	return crossing(float64(from), float64(from+waitMost), watchedTo, func(at float64) float64 {
		return of(record.At(si.Time(at)))
	}) - float64(from)
}

func (b *Bay) foot() si.Force { return b.reserve.Pedal * si.Force(1+b.gauges.Pedal) }

func (b *Bay) drops(ctx context.Context) (float64, error) {
	s, err := b.empty(ctx)
	if err != nil {
		return 0, err
	}
	if err := hold(ctx, s, startPedal); err != nil {
		return 0, err
	}
	before := s.State().PedalTravel
	s.Engine(sim.Idle)
	err = s.Advance(ctx, startFor)
	return max(0, float64(s.State().PedalTravel-before)), err
}

// Record puts the outcome of a test into a reading with the test's conditions,
// as a technician would write it.
func Record(conditions scenario.Reading, outcome float64) scenario.Reading {
	return trialOf(conditions).reading(outcome)
}

// GaugeOf returns the half width of the error of a test's instrument and the step
// in which it is read, in SI, a count in stops, and for a yes or no the travel of
// the pedal that decides it (estimates).
func GaugeOf(conditions scenario.Reading) (half, step float64) { return trialOf(conditions).gauge() }

// Tests returns the tests that can be recommended for a car, with their conditions.
func Tests(c sim.Config) []scenario.Reading {
	var out []scenario.Reading
	for _, t := range menu(&c) {
		out = append(out, t.reading(0))
	}
	return out
}
