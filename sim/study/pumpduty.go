package study

import (
	"context"

	"kneepoint/internal/rootfind"
	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// PumpDuty is what an electric pump gets done. A time that never comes does not exist.
type PumpDuty struct {
	// FirstFill is from no vacuum anywhere to where the pump switches off, the engine
	// started at the same time; Refill from where it switches on to where it switches off.
	FirstFill answer.Optional[si.Time] `json:"first_fill_s"`
	Refill    answer.Optional[si.Time] `json:"refill_s"`
	// RunningShare is the share of the time in traffic that it runs, SteadyVacuum what
	// there is in the booster before the last of the stops there.
	RunningShare answer.Optional[si.Ratio]  `json:"running_share"`
	SteadyVacuum answer.Optional[si.Vacuum] `json:"steady_vacuum_pa"`
	// RestVacuum is the least in the booster that pump and engine leave at rest.
	RestVacuum si.Vacuum `json:"rest_vacuum_pa"`
	// Needed is the pedal force that the demand takes with the engine idling where the
	// driver is helped least.
	Needed answer.Optional[si.Force] `json:"needed_pedal_n"`
	// KeepsUp says that before the last stop in traffic as much is there as counts as back.
	KeepsUp bool `json:"keeps_up"`
}

// How a pump is watched.
const (
	// aboveOn keeps a pump at rest from starting by itself (estimate).
	aboveOn si.Vacuum = 100
	// fillMost is when a pump is given up that never switches off, and stalled what
	// it gains in fillStep when it has got to where it gets.
	fillMost   si.Time   = 900
	fillStep   si.Time   = 10
	stalled    si.Vacuum = 1
	watchEvery si.Time   = 0.1
	// switchWithin is how closely the time of a switch is found.
	switchWithin si.Time = 1e-4
)

// hasPump reports whether a pump has a booster to draw from.
func hasPump(c sim.Config) bool { return c.Pump.FreeFlow > 0 && c.Booster.Kind != sim.BoosterNone }

// A pumpedCar is one with a pump whose engine idles.
type pumpedCar struct {
	config sim.Config
	// idle has settled from no vacuum; fork it.
	idle *sim.Session
	// firstFill is the time that the pump took to switch off.
	firstFill answer.Optional[si.Time]
	// alone has settled too, without the pump.
	alone *sim.Session
	// held is kept at the vacuum where the pump starts by a bench, which heldBy describes;
	// nil until asked for.
	held   *sim.Session
	heldBy sim.Config
}

// fillUp starts the car without any vacuum and lets it settle with the engine idling.
func fillUp(ctx context.Context, m *sim.Model) (*pumpedCar, error) {
	car := &pumpedCar{config: m.Config(), idle: m.Start()}
	car.idle.Engine(sim.EngineIdle)
	var err error
	if car.firstFill, err = untilOff(ctx, car.idle); err != nil {
		return nil, err
	}
	if err := car.idle.Settle(ctx, sim.EngineIdle); err != nil {
		return nil, err
	}
	without := car.config
	without.Pump = sim.Pump{}
	own, err := model(ctx, without)
	if err != nil {
		return nil, err
	}
	car.alone, err = settle(ctx, own, sim.EngineIdle)
	return car, err
}

// pumpedVacuum is that of what the pump draws from, and its switch looks at: the tank
// if there is one.
func pumpedVacuum(s sim.State) si.Vacuum {
	if tank := answer.Of(s.ReservoirVacuum); tank.Exists() {
		return s.ReservoirVacuum
	}
	return s.FrontVacuum
}

// untilOff lets a running pump go on until it switches off, and returns the time that
// this takes. It does not exist if the pump does not run, never gets there, or takes
// more than fillMost.
func untilOff(ctx context.Context, s *sim.Session) (answer.Optional[si.Time], error) {
	none := answer.None[si.Time]()
	running := func(x sim.State) bool { return x.PumpFlow > 0 }
	last := s.State()
	if !running(last) {
		return none, nil
	}
	for begin := s.Time(); s.Time() < begin+fillMost; {
		s.Record()
		if err := s.Advance(ctx, fillStep); err != nil {
			return none, err
		}
		t := s.Trajectory()
		states := t.Every(watchEvery)
		for i := 1; i < len(states); i++ {
			if running(states[i]) {
				continue
			}
			at, err := rootfind.Least(float64(states[i-1].Time), float64(states[i].Time), float64(switchWithin),
				func(at float64) (bool, error) { return !running(t.At(si.Time(at))), nil })
			return answer.Of(si.Time(at - float64(begin))), err
		}
		now := states[len(states)-1]
		if pumpedVacuum(now) < pumpedVacuum(last)+stalled {
			return none, nil
		}
		last = now
	}
	return none, nil
}

// reaches reports whether the pump gets the vacuum to where it would switch on.
func (p *pumpedCar) reaches() bool { return pumpedVacuum(p.idle.State()) >= p.config.Pump.On+aboveOn }

// rest returns the car at the least vacuum that it has at rest with the engine in the
// given state: the pump has been off, and the vacuum has sunk, through whatever leaks,
// to just above where it starts again, or to what the engine keeps, if that is more.
// Where the pump does not get that far, it is what it gets to.
func (p *pumpedCar) rest(ctx context.Context, engine sim.EngineState) (*sim.Session, error) {
	s, alone := p.idle.Fork(), p.alone.Fork()
	if engine != sim.EngineIdle {
		if err := alone.Settle(ctx, engine); err != nil {
			return nil, err
		}
		if err := s.Settle(ctx, engine); err != nil {
			return nil, err
		}
	}
	if p.reaches() {
		fillTo(s, max(p.config.Pump.On+aboveOn, pumpedVacuum(alone.State())))
	}
	return s, nil
}

// fillTo fills what the pump draws from to a vacuum. The hub at rest lies a little into
// its stop, which makes a few pascals of what a session is filled with.
func fillTo(s *sim.Session, v si.Vacuum) {
	s.Fill(v)
	s.Fill(2*v - pumpedVacuum(s.State()))
}

// refill is the time from where the pump switches on to where it switches off.
func (p *pumpedCar) refill(ctx context.Context) (answer.Optional[si.Time], error) {
	if !p.reaches() {
		return answer.None[si.Time](), nil
	}
	const below si.Vacuum = 1 // enough for the switch
	s := p.idle.Fork()
	fillTo(s, p.config.Pump.On-below)
	s.Engine(sim.EngineIdle)
	return untilOff(ctx, s)
}

// pumpDuty finds what the pump gets done.
func (r *ReserveResult) pumpDuty(ctx context.Context, d demand) error {
	duty := &PumpDuty{FirstFill: r.pumped.firstFill}
	var err error
	if duty.Refill, err = r.pumped.refill(ctx); err != nil {
		return err
	}
	queue, session, err := r.queue(ctx, d, true)
	if err != nil {
		return err
	}
	r.traffic = queue.traffic
	duty.RestVacuum, duty.SteadyVacuum = queue.StartVacuum.Value(), r.traffic.TrafficVacuum
	duty.RunningShare = answer.Of(si.Ratio(runningShare(session.Trajectory())))
	if duty.Needed, err = r.leastHelped(ctx, d); err != nil {
		return err
	}
	duty.KeepsUp = r.traffic.keptUp()
	r.Pump = duty
	return nil
}

// pumpDutyOf is what the pump of a car gets done with the stops of its [reserve].
func pumpDutyOf(ctx context.Context, s *scenario.Scenario) (*PumpDuty, error) {
	r := &ReserveResult{settings: s.Reserve, config: s.Config}
	r.settings.Stops = 1
	err := r.simulate(ctx, stopping{duty: true}, nil)
	return r.Pump, err
}

// PumpWarning says that an electric pump cannot keep up with the stops of the scenario's
// [reserve]; it is empty where there is none or where it does.
func PumpWarning(ctx context.Context, s *scenario.Scenario, u si.System) (string, error) {
	if !hasPump(s.Config) {
		return "", nil
	}
	duty, err := pumpDutyOf(ctx, s)
	if err != nil || duty.KeepsUp {
		return "", err
	}
	return duty.words(s.Config, u)[0], nil
}

// leastHelped is the pedal force of a stop with the engine idling where the driver is
// helped least.
func (r *ReserveResult) leastHelped(ctx context.Context, d demand) (answer.Optional[si.Force], error) {
	s, err := r.pumped.leastHelped(ctx, r.settings, d)
	if err != nil {
		return answer.None[si.Force](), err
	}
	one, err := ready(ctx, s, r.settings)
	if err != nil {
		return answer.None[si.Force](), err
	}
	n, err := need(ctx, one.session, r.settings, d)
	return n.Force, err
}

// stopForce is what the foot presses for the demand: as Stop.Pedal.
func (r *ReserveResult) stopForce(ctx context.Context, s *sim.Session, d demand) (si.Force, error) {
	set := r.settings
	if !(set.Deceleration > 0) {
		return set.Pedal, nil
	}
	n, err := need(ctx, s, set, d)
	if err != nil || !n.Force.Exists() {
		return set.ForceLimit, err
	}
	return min(set.ForceLimit, n.Force.Value()), nil
}

// queue makes the stops of traffic from the least vacuum at rest with the engine idling,
// each for the demand, as the stops of a reserve with the engine idling.
func (r *ReserveResult) queue(ctx context.Context, d demand, record bool) (*ReserveResult, *sim.Session, error) {
	queue := &ReserveResult{settings: r.settings, config: r.config}
	set := &queue.settings
	set.Pause = max(0, verdict.TrafficEvery-set.Press-set.Hold-set.Release)
	s, err := r.pumped.rest(ctx, sim.EngineIdle)
	if err != nil {
		return queue, s, err
	}
	queue.StartVacuum = answer.Of(s.State().FrontVacuum)
	if err := s.AdvanceTo(ctx, firstStopAt); err != nil {
		return queue, s, err
	}
	if record {
		s.Record()
	}
	for range verdict.TrafficStops {
		stop, after, err := queue.stop(ctx, s, d)
		if err != nil {
			return queue, s, err
		}
		queue.Stops, s = append(queue.Stops, *stop), after
	}
	queue.traffic = Traffic{
		TrafficPedal:  queue.hardest(),
		TrafficVacuum: queue.Stops[verdict.TrafficStops-1].VacuumBefore,
		TrafficKept:   answer.Of(max(queue.StartVacuum.Value(), r.config.Pump.On)),
	}
	return queue, s, nil
}

// hardest is the greatest force that one of the stops needs: the vacuum swings between a
// pump's switches, so the last may be a lucky one. It does not exist where one of them
// cannot be had.
func (r *ReserveResult) hardest() answer.Optional[si.Force] {
	most := si.Force(0)
	for _, stop := range r.Stops {
		if !stop.Needed.Exists() {
			return stop.Needed
		}
		most = max(most, stop.Needed.Value())
	}
	return answer.Of(most)
}

// runningShare is the share of a run's time that the pump runs.
func runningShare(t *sim.Trajectory) float64 {
	states := t.Every(watchEvery)
	ran := 0.0
	for i := 1; i < len(states); i++ {
		from, to := float64(states[i-1].Time), float64(states[i].Time)
		before, after := states[i-1].PumpFlow > 0, states[i].PumpFlow > 0
		switch {
		case before && after:
			ran += to - from
		case before != after:
			at := rootfind.Crossing(from, to, float64(switchWithin), func(at float64) float64 {
				if (t.At(si.Time(at)).PumpFlow > 0) == after {
					return 1
				}
				return -1
			})
			if before {
				ran += at - from
			} else {
				ran += to - at
			}
		}
	}
	return ran / float64(t.Until()-t.From())
}
