package study

import (
	"context"
	"math"
	"slices"

	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A failure is what is wrong with the car in one case.
type failure string

const (
	nothingFailed failure = "nothing failed"
	alreadyLost   failure = "as it is, a circuit lost"
	noVacuum      failure = "booster without vacuum"
	engineDead    failure = "engine dead, first stop"
	stopsUsed     failure = "engine dead, assisted stops used up"
	frontLost     failure = "front circuit lost"
	rearLost      failure = "rear circuit lost"
)

// A Meeting is how a case does by one requirement.
type Meeting struct {
	Requirement
	// Needed is the pedal force that would meet it; it does not exist where no
	// force would, up to what any driver presses.
	Needed answer.Optional[si.Force] `json:"needed_pedal_n"`
	Passes bool                      `json:"passes"`
}

// A BestStop is the hardest that a car makes without locking a wheel.
type BestStop struct {
	Deceleration answer.Optional[si.Acceleration] `json:"deceleration_mps2"`
	Pedal        answer.Optional[si.Force]        `json:"pedal_n"`
	// Axle is what locks first if one presses harder, within the pedal limit.
	Axle     verdict.Axle               `json:"axle"`
	Distance answer.Optional[si.Length] `json:"stopping_distance_m"`
}

// A FailureCase is the car with one thing failed, pressed once.
type FailureCase struct {
	Name string `json:"case"`
	// Circuits is the kind of master cylinder, the scenario's or the other one.
	Circuits sim.Circuits `json:"master"`
	// Best is what remains of the brakes: the hardest stop up to the pedal limit with
	// every wheel turning. Deceleration, Distance and what follows are of that stop.
	Best         BestStop                         `json:"best_without_lock"`
	Deceleration answer.Optional[si.Acceleration] `json:"deceleration_mps2"`
	Distance     answer.Optional[si.Length]       `json:"stopping_distance_m"`
	// Sliding is the deceleration with all wheels locked, where that pedal locks one.
	Sliding     answer.Optional[si.Acceleration] `json:"sliding_deceleration_mps2"`
	PedalTravel answer.Optional[si.Length]       `json:"pedal_travel_m"`
	LineFront   answer.Optional[si.Pressure]     `json:"line_front_pa"`
	LineRear    answer.Optional[si.Pressure]     `json:"line_rear_pa"`
	// Vacuum is that of the booster before the press.
	Vacuum answer.Optional[si.Vacuum] `json:"vacuum_before_pa"`
	// Bottoms says which half of the master cylinder comes to the end of its
	// stroke on the way there, at which pedal travel and force.
	Bottoms       verdict.Axle               `json:"bottoms"`
	BottomsAt     answer.Optional[si.Length] `json:"bottoms_at_pedal_travel_m"`
	BottomsAtBy   answer.Optional[si.Force]  `json:"bottoms_at_pedal_n"`
	Meetings      []Meeting                  `json:"requirements"`
	failure       failure
	curve         []sim.State
	otherCylinder bool
	// endsOfStroke says that the best stop ends with the stroke.
	endsOfStroke bool
}

// FailuresResult is the answer to what is left when something fails.
type FailuresResult struct {
	PedalLimit si.Force      `json:"pedal_limit_n"`
	Speed      si.Speed      `json:"speed_mps"`
	Lag        si.Time       `json:"lag_s"`
	Cases      []FailureCase `json:"cases"`
	// Stops is how many assisted stops there were before the case in which they
	// are used up; capped, at least so many.
	Stops  answer.Optional[float64] `json:"assisted_stops"`
	Capped bool                     `json:"assisted_stops_capped"`
	Feel   []Feel                   `json:"feel"`

	config sim.Config
	title  string
}

// A press of a failed car rises steadily: slowly enough for the chambers to
// follow within some newtons, far enough for a demand to count as out of reach.
const (
	failurePace  = 50.0 // N/s
	failureSteps = 2000
	afterKeyOff  = firstStopAt
)

// Failures presses the scenario's car with one thing failed after the other: as
// it is first, if a circuit of it is lost already, and with both circuits whole
// in the other cases. Its faults stay in all of them.
func Failures(ctx context.Context, s *scenario.Scenario, w Watch) (*FailuresResult, error) {
	r := &FailuresResult{
		PedalLimit: s.Reserve.ForceLimit, Speed: stopFrom, Lag: verdict.StopLag, config: s.Config, title: s.Title,
	}
	unlost := *s
	unlost.Config = whole(s.Config)
	var plan []FailureCase
	if hasLost(&s.Config) {
		plan = append(plan, newCase(alreadyLost, s.Config.Master.Circuits, false))
	}
	plan = append(plan, newCase(nothingFailed, s.Config.Master.Circuits, false))
	if s.Config.Booster.Kind != sim.BoosterNone {
		for _, f := range []failure{noVacuum, engineDead, stopsUsed} {
			plan = append(plan, newCase(f, s.Config.Master.Circuits, false))
		}
	}
	other := sim.MasterSingle
	if s.Config.Master.Circuits == sim.MasterSingle {
		other = sim.MasterDual
	}
	for _, f := range []failure{frontLost, rearLost} {
		plan = append(plan, newCase(f, s.Config.Master.Circuits, false), newCase(f, other, true))
	}
	total := len(plan) + len(feelCases(s))
	for i := range plan {
		w.Tell(i, total)
		c := &plan[i]
		car := &unlost
		if c.failure == alreadyLost {
			car = s
		}
		session, err := r.prepare(ctx, car, c)
		if err != nil {
			return nil, err
		}
		if err := r.read(ctx, c, session, s.Reserve); err != nil {
			return nil, err
		}
		if c.curve, err = pressHard(ctx, session); err != nil {
			return nil, err
		}
		r.bottoming(c, session.Config())
		r.Cases = append(r.Cases, *c)
	}
	var err error
	r.Feel, err = feels(ctx, s, func(done, _ int) { w.Tell(len(plan)+done, total) })
	w.Tell(total, total)
	return r, err
}

func newCase(f failure, circuits sim.Circuits, other bool) FailureCase {
	return FailureCase{Name: string(f), Circuits: circuits, failure: f, otherCylinder: other}
}

// prepare brings the car of a case to the moment of the press.
func (r *FailuresResult) prepare(ctx context.Context, s *scenario.Scenario, c *FailureCase) (*sim.Session, error) {
	config := s.Config
	config.Master.Circuits = c.Circuits
	switch c.failure {
	case frontLost:
		config.Front.Lost = true
	case rearLost:
		config.Rear.Lost = true
	}
	m, err := model(ctx, config)
	if err != nil {
		return nil, err
	}
	if c.failure == noVacuum {
		return m.Start(), nil
	}
	session, err := settleBefore(ctx, m, s.Reserve, c.failure)
	if err != nil {
		return nil, err
	}
	switch c.failure {
	case engineDead:
		session.Engine(sim.EngineOff)
		err = session.Advance(ctx, afterKeyOff)
	case stopsUsed:
		err = r.useUp(ctx, s, session)
	}
	return session, err
}

// settleBefore brings the car to where its driver is helped least when the failure comes.
func settleBefore(ctx context.Context, m *sim.Model, set scenario.Reserve, f failure) (*sim.Session, error) {
	if f == engineDead || f == stopsUsed {
		return (&parkedCar{m: m}).atRest(ctx)
	}
	car, err := park(ctx, m.Config())
	if err != nil {
		return nil, err
	}
	d, err := newDriver(ctx, car, set)
	if err != nil {
		return nil, err
	}
	return d.session, nil
}

// useUp makes the assisted stops that the scenario's reserve has with the engine
// dead, as the reserve counts them.
func (r *FailuresResult) useUp(ctx context.Context, s *scenario.Scenario, session *sim.Session) error {
	car := *s
	car.Reserve.Engine, car.Reserve.FilledAt = sim.EngineOff, sim.EngineIdle
	counted := &ReserveResult{settings: car.Reserve, config: car.Config}
	if err := counted.simulate(ctx, stopping{counting: true}, nil); err != nil {
		return err
	}
	r.Stops, r.Capped = answer.Of(float64(counted.AssistedStops)), counted.Capped
	session.Engine(sim.EngineOff)
	if err := session.AdvanceTo(ctx, afterKeyOff); err != nil {
		return err
	}
	for _, stop := range counted.Stops[:counted.AssistedStops] {
		begin := session.Time()
		if _, err := press(ctx, session, car.Reserve, stop.Pedal); err != nil {
			return err
		}
		if err := session.AdvanceTo(ctx, car.Reserve.Next(begin)); err != nil {
			return err
		}
	}
	return nil
}

// pressHard presses steadily up to verdict.HardestPedal and returns the states on the way.
func pressHard(ctx context.Context, session *sim.Session) ([]sim.State, error) {
	session.Record()
	takes := verdict.HardestPedal / failurePace
	session.Pedal(verdict.HardestPedal, si.Time(takes))
	if err := session.Advance(ctx, si.Time(takes)); err != nil {
		return nil, err
	}
	t := session.Trajectory()
	states := make([]sim.State, failureSteps+1)
	for i := range states {
		states[i] = t.At(t.From() + si.Time(takes)*si.Time(i)/failureSteps)
	}
	return states, nil
}

// read takes the figures of a case, each by a press and a hold as a stop of the
// reserve has it, on forks of the session.
func (r *FailuresResult) read(ctx context.Context, c *FailureCase, session *sim.Session, set scenario.Reserve) error {
	config := session.Config()
	road := verdict.RoadOf(&config)
	lock := road.FirstLock()
	at, err := press(ctx, session.Fork(), set, r.PedalLimit)
	if err != nil {
		return err
	}
	c.Sliding = answer.None[si.Acceleration]()
	c.Best = BestStop{Deceleration: answer.Of(at.Deceleration), Pedal: answer.Of(r.PedalLimit)}
	if locksAt(lock, at) {
		n, err := need(ctx, session, set, slowingBy(lock.Deceleration.Value(), road))
		if err != nil {
			return err
		}
		if n.Force.Exists() && n.Force.Value() <= r.PedalLimit {
			c.Best = BestStop{Deceleration: lock.Deceleration, Pedal: n.Force, Axle: lock.Axle}
			c.Sliding = answer.Of(config.Car.SlidingDeceleration())
			at = n.at
		}
	}
	if verdict.Bottomed(&config, at) != verdict.NoAxle {
		// Beyond the end of a half's stroke it is no stop of brakes that work.
		c.endsOfStroke = true
		force, held, err := forceAtStroke(ctx, session, set, config, float64(r.PedalLimit)/2)
		if err != nil {
			return err
		}
		c.Best = BestStop{Deceleration: answer.Of(held.Deceleration), Pedal: force}
		at = held
	}
	c.Best.Distance = verdict.StoppingDistance(r.Speed, c.Best.Deceleration.Value())
	c.Deceleration, c.Distance = c.Best.Deceleration, c.Best.Distance
	c.PedalTravel = answer.Of(at.PedalTravel)
	c.LineFront, c.LineRear = answer.Of(at.LineFront), answer.Of(at.LineRear)
	c.Vacuum = answer.Of(session.State().FrontVacuum)
	for _, q := range requirements() {
		if !slices.Contains(q.of, c.failure) {
			continue
		}
		m := Meeting{Requirement: q}
		n, err := need(ctx, session, set, slowingBy(si.Acceleration(q.needs()), road))
		if err != nil {
			return err
		}
		m.Needed = n.Force
		m.Passes = m.Needed.Exists() && m.Needed.Value() <= q.PedalLimit
		c.Meetings = append(c.Meetings, m)
	}
	return nil
}

// forceAtStroke finds the pedal force at which a half of the master cylinder that has not
// lost its circuit comes to the end of its stroke, with the state there.
func forceAtStroke(ctx context.Context, session *sim.Session, set scenario.Reserve, config sim.Config, guess float64) (answer.Optional[si.Force], sim.State, error) {
	var found sim.State
	force, err := leastForce(guess, verdict.BottomShare, anyNext, func(f float64) (float64, error) {
		held, err := press(ctx, session.Fork(), set, si.Force(f))
		used := max(verdict.WorkingStroke(&config, held))
		if used >= verdict.BottomShare {
			found = held
		}
		return used, err
	})
	return force, found, err
}

// locksAt reports whether a held state has come up to the first lock.
func locksAt(lock verdict.FirstLock, s sim.State) bool {
	return lock.Deceleration.Exists() && float64(s.Deceleration) >= float64(lock.Deceleration.Value())
}

// bottoming finds the half of the master cylinder that comes to its stop first
// on the way to the best stop, lost or not.
func (r *FailuresResult) bottoming(c *FailureCase, config sim.Config) {
	c.BottomsAt, c.BottomsAtBy = answer.None[si.Length](), answer.None[si.Force]()
	used := func(of func(front, rear float64) float64) func(sim.State) float64 {
		return func(s sim.State) float64 { return of(verdict.StrokeUsed(&config, s)) }
	}
	front := used(func(f, _ float64) float64 { return f })
	gaps := map[verdict.Axle]func(sim.State) float64{verdict.BothAxles: front}
	if c.Circuits == sim.MasterDual {
		gaps = map[verdict.Axle]func(sim.State) float64{
			verdict.FrontAxle: front,
			verdict.RearAxle:  used(func(_, r float64) float64 { return r }),
		}
	}
	most := c.Best.Pedal.Value()
	if c.endsOfStroke {
		most = r.PedalLimit
	}
	first := math.Inf(1)
	for axle, gap := range gaps {
		force := where(c.curve, gap, pedalOf, verdict.BottomShare)
		if force <= float64(most) && force < first {
			first = force
			c.Bottoms, c.BottomsAtBy = axle, answer.Of(si.Force(force))
			c.BottomsAt = answer.Of(si.Length(where(c.curve, gap, travelOf, verdict.BottomShare)))
		}
	}
}

func decelerationOf(s sim.State) float64 { return float64(s.Deceleration) }
func travelOf(s sim.State) float64       { return float64(s.PedalTravel) }
