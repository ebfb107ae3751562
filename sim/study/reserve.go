package study

import (
	"context"

	"kneepoint/internal/sourcenote"
	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A Stop is one of a series of stops.
type Stop struct {
	Number       int                        `json:"stop"`
	VacuumBefore answer.Optional[si.Vacuum] `json:"vacuum_before_pa"`
	VacuumAfter  answer.Optional[si.Vacuum] `json:"vacuum_after_pa"`
	Pedal        si.Force                   `json:"pedal_n"`
	// Needed is the pedal force that reaches the demand at this stop.
	Needed answer.Optional[si.Force] `json:"needed_pedal_n"`
	Line   si.Pressure               `json:"line_pa"`
	// Share is the booster's part of the output: 1 - input/output, not below 0,
	// as pressed; ShareAtNeeded the same at the needed force.
	Share         answer.Optional[si.Ratio] `json:"assist_share"`
	ShareAtNeeded answer.Optional[si.Ratio] `json:"assist_share_at_needed"`
	Deceleration  si.Acceleration           `json:"deceleration_mps2"`
	// TravelAtNeeded is the pedal's at the needed force.
	TravelAtNeeded answer.Optional[si.Length] `json:"pedal_travel_at_needed_m"`
	Assisted       bool                       `json:"assisted"`
	// missing says why there is no needed force.
	missing shortfall
}

// A shortfall is why a stop cannot be had at any pedal force.
type shortfall int8

const (
	noShortfall shortfall = iota
	byLock                // a wheel would lock first
	byStroke              // the master cylinder's piston is at its end
	byForce               // no driver presses so hard
	byBrakes              // they are too small to lock any wheel
)

func (s shortfall) String() string { return [...]string{"", "lock", "stroke", "force", "brakes"}[s] }

// MarshalText writes its name.
func (s shortfall) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// ReserveResult is the answer to how many stops are left.
type ReserveResult struct {
	AssistedStops int  `json:"assisted_stops"`
	Capped        bool `json:"capped"`
	// EasyStops and HeavyStops are what the foot can do: from the first stop up to the
	// first that needs more than verdict.EasyPedal, verdict.HeavyPedal.
	EasyStops   int                        `json:"easy_stops"`
	HeavyStops  int                        `json:"heavy_stops"`
	StartVacuum answer.Optional[si.Vacuum] `json:"start_vacuum_pa"`
	// The demand is a line pressure or a deceleration; the other does not exist.
	DemandLine         answer.Optional[si.Pressure]     `json:"demand_line_pa"`
	DemandDeceleration answer.Optional[si.Acceleration] `json:"demand_deceleration_mps2"`
	// Lock is what locks the first axle of this car on its road.
	Lock verdict.FirstLock `json:"first_lock"`
	// RechargeIdle and RechargeOverrun are the times after one such stop until the
	// vacuum is back with the engine running.
	RechargeIdle    answer.Optional[si.Time] `json:"recharge_idle_s"`
	RechargeOverrun answer.Optional[si.Time] `json:"recharge_overrun_s"`
	// Pump is there where an electric pump draws from a booster.
	Pump  *PumpDuty `json:"pump"`
	Stops []Stop    `json:"stops"`
	// Sure is there where inputs have a tolerance.
	Sure *Surety `json:"sure,omitempty"`
	// Estimated is there where the vacuum was not measured.
	Estimated *Band `json:"estimated,omitempty"`

	// VolumeRange is there where the booster's room was not given.
	VolumeRange *VolumeRange `json:"volume_range,omitempty"`

	title    string
	note     sourcenote.Note
	settings scenario.Reserve
	config   sim.Config
	over     *sim.Trajectory
	// recharged says that the recharging was timed, however it went.
	recharged bool
	// car is who makes the stops, and pumped where an electric pump draws from its booster.
	car    *parkedCar
	pumped *pumpedCar
	// traffic is what was found of the stops there.
	traffic Traffic
	// expected is what the stops so far let expect of the next.
	expected *forecast
	// lessVacuum is the count from somewhat less vacuum; nil where something else decides.
	lessVacuum *verdict.Count
}

// firstStopAt is when the first stop begins: the engine has come to rest by then.
const firstStopAt si.Time = 1

// stopsTolerance is closer than usual, since each stop's errors are in all after it,
// and what little a nearly empty booster gives is a small difference of two forces.
const stopsTolerance = sim.DefaultTolerance / 2

// Reserve settles the car, does to the engine what the scenario says, and makes
// stop after stop.
func Reserve(ctx context.Context, s *scenario.Scenario, w Watch) (*ReserveResult, error) {
	r := &ReserveResult{title: s.Title, note: sourcenote.On(s), settings: s.Reserve, config: s.Config}
	err := r.simulate(ctx, stopping{record: true, recharge: true, overrun: true, duty: true}, w)
	if len(r.Stops) == 0 {
		return nil, err
	}
	if err != nil {
		return r, err
	}
	if err := r.rangeOfStops(ctx, s); err != nil {
		return r, err
	}
	if err := r.withLessVacuum(ctx, s); err != nil {
		return r, err
	}
	return r, r.sureOfStops(ctx, s, w)
}

// stopping says what a series of stops is wanted for.
type stopping struct {
	// line, above zero, is the demand in place of what the settings ask for.
	line si.Pressure
	// helpedLeast begins where the driver is helped least with the engine idling.
	helpedLeast bool
	// record keeps the vacuum over time; recharge and overrun time how it comes back with
	// the engine idling and on the overrun.
	record, recharge, overrun bool
	// traffic asks besides for the stops in traffic with a pump, duty for all that
	// it gets done.
	traffic, duty bool
	// counting ends the series with the first stop that is not assisted and needs more
	// than both a heavy pedal and upTo.
	counting bool
	upTo     si.Force
	// enough, if there, ends the series once a count that is asked for is decided.
	enough func(*ReserveResult) bool
	// worth, if there, says by the stops whether the recharge and all after it is asked for.
	worth func(*ReserveResult) bool
}

// simulate fills the result.
func (r *ReserveResult) simulate(ctx context.Context, want stopping, w Watch) error {
	r.RechargeIdle, r.RechargeOverrun, r.traffic = answer.None[si.Time](), answer.None[si.Time](), Traffic{}
	if r.car == nil {
		car, err := park(ctx, r.config)
		if err != nil {
			return err
		}
		r.car = car
	}
	set := r.settings
	if want.helpedLeast {
		set.FilledAt = sim.EngineIdle
	}
	running, err := r.car.settled(ctx, set.FilledAt)
	if err != nil {
		return err
	}
	d, err := r.demand(ctx, running, want.line)
	if err != nil {
		return err
	}
	if hasPump(r.config) {
		if r.pumped, err = r.car.filled(ctx); err != nil {
			return err
		}
		if running, err = r.pumped.begin(ctx, set, d, want); err != nil {
			return err
		}
	}
	session := running.Fork()
	if want.record {
		session.Record()
		r.over = session.Trajectory()
	}
	session.Engine(whenStopping(set.Engine))
	if err := session.AdvanceTo(ctx, firstStopAt); err != nil {
		return err
	}
	r.StartVacuum = answer.Of(session.State().FrontVacuum)
	for i := range set.Stops {
		w.Tell(i, set.Stops)
		stop, after, err := r.stop(ctx, session, d)
		if err != nil {
			return err
		}
		session = after
		stop.Number = i + 1
		r.Stops = append(r.Stops, *stop)
		// Counted as they come: what there is when a run is cut short is true too.
		if stop.Assisted && r.AssistedStops == i {
			r.AssistedStops++
		}
		r.Capped = r.AssistedStops == len(r.Stops)
		r.EasyStops, r.HeavyStops = r.within(verdict.EasyPedal), r.within(verdict.HeavyPedal)
		if want.counting && !stop.Assisted && r.within(max(want.upTo, verdict.HeavyPedal)) <= i || want.enough != nil && want.enough(r) {
			break
		}
	}
	w.Tell(set.Stops, set.Stops)
	if r.config.Booster.Kind == sim.BoosterNone || want.worth != nil && !want.worth(r) {
		return nil
	}
	if err := r.recharges(ctx, d, want); err != nil {
		return err
	}
	r.recharged = want.recharge
	return nil
}

// within counts the stops from the first up to the first that needs more than a limit.
func (r *ReserveResult) within(limit si.Force) int {
	needed := make([]answer.Optional[si.Force], len(r.Stops))
	for i := range r.Stops {
		needed[i] = r.Stops[i].Needed
	}
	return verdict.Stops(needed, limit)
}

// HeavyCapped says that all stops that were made are at most heavy: there may be more.
func (r *ReserveResult) HeavyCapped() bool { return r.HeavyStops == len(r.Stops) }

// Counted is the count of stops in words.
func (r *ReserveResult) Counted() string {
	return r.tally().String()
}

func (r *ReserveResult) tally() verdict.Count {
	return verdict.Count{Easy: r.EasyStops, Heavy: r.HeavyStops, Made: len(r.Stops)}
}

// settle opens a session with the engine idling until nothing changes, and then
// on the overrun too if the vacuum is to be that of a cruise.
func settle(ctx context.Context, m *sim.Model, filledAt sim.EngineState) (*sim.Session, error) {
	s := m.Start()
	if err := s.Settle(ctx, sim.EngineIdle); err != nil {
		return nil, err
	}
	if filledAt == sim.EngineIdle {
		return s, nil
	}
	return s, s.Settle(ctx, sim.EngineOverrun)
}

// recharges times how the vacuum comes back after one stop, as the engine is asked about.
func (r *ReserveResult) recharges(ctx context.Context, d demand, want stopping) (err error) {
	if want.recharge {
		if r.RechargeIdle, err = r.recharge(ctx, d, sim.EngineIdle); err != nil {
			return err
		}
	}
	if want.overrun {
		if r.RechargeOverrun, err = r.recharge(ctx, d, sim.EngineOverrun); err != nil {
			return err
		}
	}
	if !hasPump(r.config) {
		return nil
	}
	if want.duty {
		return r.pumpDuty(ctx, d)
	}
	if want.traffic {
		queue, _, err := r.queue(ctx, d, false)
		r.traffic = queue.traffic
		return err
	}
	return nil
}

func (r *ReserveResult) demandLine() si.Pressure { return r.DemandLine.Value() }

// forceOr is a force, or the hardest pedal where it is out of reach.
func forceOr(f answer.Optional[si.Force]) float64 {
	if !f.Exists() {
		return float64(verdict.HardestPedal)
	}
	return float64(f.Value())
}

// whenStopping is the engine's state during a stop: a driver who brakes from a
// cruise is off the throttle.
func whenStopping(e sim.EngineState) sim.EngineState {
	if e == sim.EngineCruise {
		return sim.EngineOverrun
	}
	return e
}

// A demand is what every stop should reach, as a function of the state at the
// end of its hold.
type demand struct {
	of    func(sim.State) float64
	level float64
	// line is the line pressure that it takes: where a search begins.
	line si.Pressure
	// growth is the share by which what is reached grows there for each of the line
	// pressure: less than 1 behind a proportioning valve.
	growth float64
	// locks says that a wheel would lock before it is reached.
	locks bool
}

// slowingBy asks for a deceleration, which the road has to bear with no wheel locked.
func slowingBy(a si.Acceleration, road verdict.Road) demand {
	line := road.LineFor(func(b verdict.Braking) bool { return b.Deceleration >= a })
	if !line.Exists() {
		line = answer.Of(verdict.MostLine)
	}
	return demand{decelerationOf, float64(a), line.Value(), growthAt(road, line.Value()), !road.FirstLock().Allows(a)}
}

// growthAt is the share by which a car is slowed more for each of the line pressure.
func growthAt(road verdict.Road, line si.Pressure) float64 {
	const little = 0.005
	less, more := road.At(line*(1-little)).Deceleration, road.At(line*(1+little)).Deceleration
	if growth := float64((more - less) / (more + less) / little); growth > 0 {
		return growth
	}
	return 1
}

func pressing(line si.Pressure) demand {
	return demand{of: lineOf, level: float64(line), line: line, growth: 1}
}

// more is what the line pressure has to be of what it was as something was reached.
func (d *demand) more(reached float64) float64 {
	return 1 + (aimAt(d.level)/reached-1)/d.growth
}

// demand is the line pressure given, the deceleration asked for, or the line
// pressure that the first stop reaches with the engine still running.
func (r *ReserveResult) demand(ctx context.Context, running *sim.Session, line si.Pressure) (demand, error) {
	r.DemandLine, r.DemandDeceleration = answer.None[si.Pressure](), answer.None[si.Acceleration]()
	r.Lock = verdict.RoadOf(&r.config).FirstLock()
	if line > 0 {
		r.DemandLine = answer.Of(line)
		return pressing(line), nil
	}
	if a := r.settings.Deceleration; a > 0 {
		r.DemandDeceleration = answer.Of(a)
		return slowingBy(a, verdict.RoadOf(&r.config)), nil
	}
	first := running.Fork()
	if err := first.AdvanceTo(ctx, firstStopAt); err != nil {
		return demand{}, err
	}
	held, err := press(ctx, first, r.settings, r.settings.Pedal)
	if err != nil {
		return demand{}, err
	}
	r.DemandLine = answer.Of(held.Line)
	return pressing(held.Line), nil
}

// press applies the pedal and returns the state at the end of the hold.
func press(ctx context.Context, s *sim.Session, set scenario.Reserve, f si.Force) (sim.State, error) {
	p := set.Stop(s.Time())
	p.Pedal, p.Deceleration = f, 0
	s.Plan(p)
	err := s.AdvanceTo(ctx, p.At+p.Press+p.Hold)
	return s.State(), err
}

// stop makes one stop and waits for the next, which the session returned is ready for.
func (r *ReserveResult) stop(ctx context.Context, session *sim.Session, d demand) (*Stop, *sim.Session, error) {
	set := r.settings
	begin := session.Time()
	stop := &Stop{VacuumBefore: answer.Of(session.State().FrontVacuum), Pedal: set.Pedal}
	before := session.State()
	if r.expected == nil {
		r.expected = expect(&r.config, before, d.line)
	}
	r.expected.front = before.FrontVacuum
	n, err := needFrom(ctx, session, set, d, r.expected)
	if err != nil {
		return nil, nil, err
	}
	needed := n.Force
	stop.Needed, stop.missing = needed, n.missing
	stop.ShareAtNeeded, stop.TravelAtNeeded = answer.None[si.Ratio](), answer.None[si.Length]()
	if needed.Exists() {
		stop.ShareAtNeeded, stop.TravelAtNeeded = share(n.at), answer.Of(n.at.PedalTravel)
	}
	if set.Deceleration > 0 {
		stop.Pedal = set.ForceLimit
		if needed.Exists() {
			stop.Pedal = min(stop.Pedal, needed.Value())
		}
	}
	held := n.at
	if needed.Exists() && stop.Pedal == needed.Value() && session.Trajectory() == nil {
		session = n.held // which has been pressed so
	} else if held, err = press(ctx, session, set, stop.Pedal); err != nil {
		return nil, nil, err
	}
	stop.Line, stop.Deceleration, stop.Share = held.Line, held.Deceleration, share(held)
	if err := session.AdvanceTo(ctx, set.Next(begin)); err != nil {
		return nil, nil, err
	}
	stop.VacuumAfter = answer.Of(session.State().FrontVacuum)
	stop.Assisted = needed.Exists() && needed.Value() <= set.ForceLimit &&
		r.config.Booster.Kind != sim.BoosterNone && float64(stop.ShareAtNeeded.Value()) >= float64(set.ShareLimit)
	return stop, session, nil
}

// share is the booster's part of the output.
func share(s sim.State) answer.Optional[si.Ratio] {
	return answer.Of(s.Assist())
}

// A soughtForce is the pedal force at which a demand is just reached at the end of the
// hold. It does not exist where a wheel locks before, where a half of the master cylinder
// stands at the end of its stroke there, and beyond verdict.HardestPedal; missing says which.
type soughtForce struct {
	Force   answer.Optional[si.Force]
	missing shortfall
	// at is the state there, and held the session that was pressed so.
	at   sim.State
	held *sim.Session
}

// need finds the force for a demand by trying on forks of the session.
func need(ctx context.Context, session *sim.Session, set scenario.Reserve, d demand) (soughtForce, error) {
	config := session.Config()
	return needFrom(ctx, session, set, d, expect(&config, session.State(), d.line))
}

// needFrom is need with a search that begins where a forecast has it.
func needFrom(ctx context.Context, session *sim.Session, set scenario.Reserve, d demand, expected *forecast) (soughtForce, error) {
	n := soughtForce{}
	if d.locks {
		n.missing = byLock
		return n, nil
	}
	config := session.Config()
	var held sim.State
	f, err := leastForce(expected.pedal(), d.level, expected.pedal, func(f float64) (float64, error) {
		fork := session.Fork()
		var err error
		held, err = press(ctx, fork, set, si.Force(f))
		reached := d.of(held)
		if reached >= d.level {
			n.at, n.held = held, fork
		}
		expected.learn(held, d.more(reached))
		return reached, err
	})
	switch {
	case err != nil:
		return n, err
	case !f.Exists() && verdict.Bottomed(&config, held) != verdict.NoAxle:
		n.missing = byStroke
	case !f.Exists():
		n.missing = byForce
	case verdict.Bottomed(&config, n.at) != verdict.NoAxle:
		n.missing = byStroke
	default:
		n.Force = f
	}
	return n, nil
}
