package workshop

import (
	"context"
	"math"
	"slices"

	"kneepoint/internal/precision"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// benchTolerance keeps vacua within some pascals and line pressures within some
// hundreds, far below what a gauge shows, and the figures of a diagnosis within a
// thousandth: twice as wide moves by more what the line pressure of a sound car
// rises by when the engine stops.
const benchTolerance = 1.2e-5

// How a car is made ready (estimates).
const (
	engineRuns  si.Time = 120 // before anything is read: a minute or two at idle
	pressTime   si.Time = 1   // the foot goes down without a jerk
	pressHeld   si.Time = 4   // until the needle stands still
	lightFoot           = si.Force(100)
	checkKeeps          = si.Vacuum(400) // what the check valve needs to open
	reachWithin         = 300.0          // Pa by which a wanted vacuum may be missed
	reachTries          = 4
)

// A Rig is one car in the workshop, with the instruments used on it. It belongs
// to one goroutine.
type Rig struct {
	config  sim.Config
	reserve scenario.Reserve
	gauges  Gauges

	model   *sim.Model
	running *sim.Session
	filled  map[si.Vacuum]*sim.Session
	pressed map[grip]*sim.Session
	book    *Book
	likes   map[hangsOn]likeness
}

// A grip is a pedal force held with the engine idling, or with a vacuum kept by a hand pump.
type grip struct {
	pedal  si.Force
	kept   si.Vacuum
	idling bool
}

// NewRig takes a car into the workshop; the pumps of stops-left are pressed as
// the stops of s.
func NewRig(c sim.Config, s scenario.Reserve, g Gauges) *Rig {
	if s.Deceleration > 0 {
		s.Pedal, s.Deceleration = lightFoot, 0
	}
	return &Rig{config: c, reserve: s, gauges: g, filled: map[si.Vacuum]*sim.Session{}, likes: map[hangsOn]likeness{}, pressed: map[grip]*sim.Session{}}
}

// WithBook has the rig look up what was done already on cars of its kind, and returns it.
func (r *Rig) WithBook(b *Book) *Rig {
	r.book = b
	return r
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
// a reserve are, until the line pressure is below half of what the same foot had
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
func (r *Rig) Outcome(ctx context.Context, conditions scenario.Reading) (float64, error) {
	t, err := TrialOf(conditions)
	if err != nil {
		return 0, err
	}
	return r.Try(ctx, t)
}

// Try is [Rig.Outcome] of a trial.
func (r *Rig) Try(ctx context.Context, t Trial) (float64, error) {
	if !t.says(&r.config) {
		return math.NaN(), nil
	}
	// What the car has of the conditions is not what the instruments say.
	t.Pedal *= si.Force(1 + r.gauges.Pedal)
	if t.Vacuum > 0 {
		t.Vacuum = max(0, t.Vacuum-r.gauges.Vacuum)
	}
	if t.ByChance() {
		return t.test.simulate(r, ctx, t.Conditions)
	}
	v, err := r.looked(ctx, t)
	if err == nil && t.test.atGauge {
		v = max(0, v+float64(r.gauges.Vacuum))
	}
	return v, err
}

// says reports whether a car has what the trial looks at.
func (t Trial) says(c *sim.Config) bool {
	return c.Booster.Kind != sim.BoosterNone || t.test.byFoot && t.Vacuum == 0
}

// foot is the force of a pump of stops-left.
func (r *Rig) foot() si.Force { return r.reserve.Pedal * si.Force(1+r.gauges.Pedal) }

// empty opens a session with the car's own source, shut off, and no vacuum.
func (r *Rig) empty(ctx context.Context) (*sim.Session, error) {
	if r.model == nil {
		m, err := precision.New(ctx, r.config, benchTolerance)
		if err != nil {
			return nil, err
		}
		r.model = m
	}
	return r.model.Start(), nil
}

// idling returns the car with its engine running for a while; fork it.
func (r *Rig) idling(ctx context.Context) (*sim.Session, error) {
	if r.running != nil {
		return r.running, nil
	}
	s, err := r.empty(ctx)
	if err != nil {
		return nil, err
	}
	s.Engine(sim.EngineIdle)
	if err := s.Advance(ctx, engineRuns); err != nil {
		return nil, err
	}
	r.running = s
	return s, nil
}

// atHandPump is the car with a hand pump, that has pumped nothing yet, at the booster
// in place of all that is before the check valve.
func (r *Rig) atHandPump() sim.Config {
	c := r.config
	c.Faults = nil
	for _, f := range r.config.Faults {
		if !slices.Contains(beforeHandPump, f.Name) {
			c.Faults = append(c.Faults, f)
		}
	}
	c.Pump = sim.Pump{}
	c.Source.Kind, c.Source.Vacuum = sim.SourceBench, 0
	return c
}

// beforeHandPump are the faults that a hand pump at the booster takes no notice of. A check
// valve that is stuck shut is one: through it nobody could fill the booster, and it is taken
// out.
var beforeHandPump = []sim.FaultName{sim.FaultLowSourceVacuum, sim.FaultHoseRestricted, sim.FaultHoseLeak, sim.FaultCheckValveStuck}

// fill returns the car with a hand pump at the booster that keeps it at a
// vacuum; fork it. A leak may ask more of the pump than there is.
func (r *Rig) fill(ctx context.Context, v si.Vacuum) (*sim.Session, error) {
	if s := r.filled[v]; s != nil {
		return s, nil
	}
	c := r.atHandPump()
	most := min(0.97*float64(c.Ambient.Pressure), 0.97*float64(c.Booster.Spring)/float64(c.Booster.TailArea))
	pull := min(float64(v+checkKeeps), most)
	for range reachTries {
		c.Source.Vacuum = si.Vacuum(pull)
		m, err := precision.New(ctx, c, benchTolerance)
		if err != nil {
			return nil, err
		}
		s := m.Start()
		s.Engine(sim.EngineIdle)
		if err := s.Advance(ctx, engineRuns); err != nil {
			return nil, err
		}
		r.filled[v] = s
		short := float64(v - s.State().FrontVacuum)
		if short < reachWithin || pull >= most {
			break
		}
		pull = min(most, pull+1.5*short)
	}
	return r.filled[v], nil
}

// held is the car with the pedal held, at a hand pump that keeps a vacuum or with none; fork
// it.
func (r *Rig) held(ctx context.Context, c Conditions) (*sim.Session, error) {
	return r.press(ctx, grip{pedal: c.Pedal, kept: c.Vacuum})
}

// idlingHeld is the car with its engine idling and the pedal held; fork it.
func (r *Rig) idlingHeld(ctx context.Context, f si.Force) (*sim.Session, error) {
	return r.press(ctx, grip{pedal: f, idling: true})
}

// press presses once for all that begin with the same grip.
func (r *Rig) press(ctx context.Context, g grip) (*sim.Session, error) {
	if s := r.pressed[g]; s != nil {
		return s, nil
	}
	var free *sim.Session
	var err error
	switch {
	case g.idling:
		free, err = r.idling(ctx)
	case g.kept > 0:
		free, err = r.fill(ctx, g.kept)
	default:
		free, err = r.empty(ctx)
	}
	if err != nil {
		return nil, err
	}
	s := free.Fork()
	if err := hold(ctx, s, g.pedal); err != nil {
		return nil, err
	}
	r.pressed[g] = s
	return s, nil
}

// hold presses the pedal and gives the chambers time to follow.
func hold(ctx context.Context, s *sim.Session, f si.Force) error {
	s.Pedal(f, pressTime)
	return s.Advance(ctx, pressTime+pressHeld)
}
