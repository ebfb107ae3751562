package workshop

import (
	"context"
	"math"

	"kneepoint/internal/rootfind"
	"kneepoint/sim"
	"kneepoint/sim/si"
)

// How the tests are done where no condition says it (estimates).
const (
	stoppedFor   si.Time = 1    // from stopping the engine to the first reading, or the first pump
	startFor     si.Time = 8    // that a foot waits for the pedal to drop
	standsWithin         = 5e-3 // m of pedal travel within which a sinking pedal stands
	backWithin           = 1 * float64(si.InchOfMercury)
	waitMost     si.Time = 30   // after which nobody looks at a needle any longer
	quickPress   si.Time = 0.2  // a foot in a hurry, pressing or letting go
	watchedTo            = 1e-3 // s: the cell in which a time is found
	keepsLine            = 0.5  // share of the first line pressure that still feels helped
	standsFor    si.Time = 90   // with the engine off before the pumps of a car that may leak
	keepsHelp            = 0.25 // share of the output that the booster gives then
)

func (r *Rig) manifoldVacuum(ctx context.Context, _ Conditions) (float64, error) {
	s, err := r.idling(ctx)
	if err != nil {
		return 0, err
	}
	return float64(s.State().ManifoldVacuum), nil
}

func (r *Rig) boosterVacuum(ctx context.Context, _ Conditions) (float64, error) {
	s, err := r.idling(ctx)
	if err != nil {
		return 0, err
	}
	at := s.State()
	if r.config.Pump.FreeFlow > 0 {
		// Whatever it draws from, its pipe ends at the gauge.
		return float64(max(at.HoseVacuum, at.FrontVacuum)), nil
	}
	return float64(at.HoseVacuum), nil
}

func (r *Rig) leakDown(ctx context.Context, c Conditions) (float64, error) {
	full, err := r.fill(ctx, c.Vacuum)
	if err == nil && c.Pedal > 0 {
		full, err = r.held(ctx, c)
	}
	if err != nil {
		return 0, err
	}
	before, after, err := watchStopped(ctx, full.Fork(), c.Lasts)
	if err != nil {
		return 0, err
	}
	// What was lost before the watch was started counts as lost, but for the
	// little that a gauge does not show.
	early := max(0, float64(c.Vacuum-before.FrontVacuum)-3*reachWithin)
	return min(max(0, float64(before.FrontVacuum-after.FrontVacuum)+early), float64(c.Vacuum)), nil
}

// watchStopped stops the engine, or shuts off the bench, and reads twice: as soon as it
// has come to rest, and after a while.
func watchStopped(ctx context.Context, s *sim.Session, lasts si.Time) (before, after sim.State, err error) {
	s.Engine(sim.EngineOff)
	if err := s.Advance(ctx, stoppedFor); err != nil {
		return before, after, err
	}
	before = s.State()
	err = s.Advance(ctx, lasts)
	return before, s.State(), err
}

func (r *Rig) linePressure(ctx context.Context, c Conditions) (float64, error) {
	s, err := r.held(ctx, c)
	if err != nil {
		return 0, err
	}
	return float64(s.State().LineFront), nil
}

func (r *Rig) pedalTravel(ctx context.Context, c Conditions) (float64, error) {
	s, err := r.held(ctx, c)
	if err != nil {
		return 0, err
	}
	return float64(s.State().PedalTravel), nil
}

func (r *Rig) pressureCreep(ctx context.Context, c Conditions) (float64, error) {
	held, err := r.idlingHeld(ctx, c.Pedal)
	if err != nil {
		return 0, err
	}
	before, after, err := watchStopped(ctx, held.Fork(), c.Lasts)
	return float64(after.LineFront - before.LineFront), err
}

// stopsLeft counts pumps. The outcome goes on between whole numbers, by how
// close the last pump came to counting.
func (r *Rig) stopsLeft(ctx context.Context, c Conditions) (float64, error) {
	running, err := r.idling(ctx)
	if err != nil {
		return 0, err
	}
	s := running.Fork()
	first, err := r.pump(ctx, running.Fork())
	if err != nil {
		return 0, err
	}
	s.Engine(sim.EngineOff)
	if err := s.Advance(ctx, stoppedFor+c.Wait); err != nil {
		return 0, err
	}
	last := 0.0
	for pump := range MostStops {
		begin := s.Time()
		held, err := r.pump(ctx, s)
		if err != nil {
			return 0, err
		}
		// At 1 or more the pump counts.
		good := min(float64(held.LineFront/first.LineFront)/keepsLine, float64(held.Assist())/keepsHelp)
		if !(good >= 1) {
			if pump == 0 {
				return max(0, good), nil
			}
			return float64(pump) + (last-1)/(last-good), nil
		}
		last = good
		if err := s.AdvanceTo(ctx, r.reserve.Next(begin)); err != nil {
			return 0, err
		}
	}
	return MostStops, nil
}

// pedalSinks presses without vacuum and watches the pedal.
func (r *Rig) pedalSinks(ctx context.Context, c Conditions) (float64, error) {
	held, err := r.held(ctx, Conditions{Pedal: c.Pedal})
	if err != nil {
		return 0, err
	}
	s := held.Fork()
	before := s.State().PedalTravel
	err = s.Advance(ctx, c.Lasts)
	return max(0, float64(s.State().PedalTravel-before)), err
}

// airLetIn is the flow of air that the engine, or the pump, goes on drawing in through
// booster and hose, in kg/s, with the pedal free or held still.
func (r *Rig) airLetIn(ctx context.Context, c Conditions) (float64, error) {
	if c.Pedal == 0 {
		running, err := r.idling(ctx)
		return drawnIn(running), err
	}
	held, err := r.idlingHeld(ctx, c.Pedal)
	return drawnIn(held), err
}

// idleChange is the change of that flow: from a pedal that is free to one that is held, or,
// where the hose is pinched with the pedal free, to nothing.
func (r *Rig) idleChange(ctx context.Context, c Conditions) (float64, error) {
	free, err := r.airLetIn(ctx, Conditions{})
	if err != nil || c.Pedal == 0 {
		return free, err
	}
	held, err := r.airLetIn(ctx, c)
	return math.Abs(held - free), err
}

func drawnIn(s *sim.Session) float64 {
	if s == nil {
		return 0
	}
	at := s.State()
	sum := 0.0
	for _, flow := range []si.MassFlow{at.HoseFlow, at.PumpFlow} {
		if flow > 0 { // and not where there is none to speak of
			sum += float64(flow)
		}
	}
	return sum
}

// pump presses as for a stop and returns the state at the end of the hold.
func (r *Rig) pump(ctx context.Context, s *sim.Session) (sim.State, error) {
	p := r.reserve.Stop(s.Time())
	p.Pedal = r.foot()
	s.Plan(p)
	err := s.AdvanceTo(ctx, p.At+p.Press+p.Hold)
	return s.State(), err
}

func (r *Rig) dropsOnStart(ctx context.Context, _ Conditions) (float64, error) {
	held, err := r.held(ctx, Conditions{Pedal: lightFoot})
	if err != nil {
		return 0, err
	}
	s := held.Fork()
	before := s.State().PedalTravel
	s.Engine(sim.EngineIdle)
	err = s.Advance(ctx, startFor)
	return max(0, float64(s.State().PedalTravel-before)), err
}

// pedalSettles times a quick press until the pedal no longer sinks.
func (r *Rig) pedalSettles(ctx context.Context, c Conditions) (float64, error) {
	running, err := r.idling(ctx)
	if err != nil {
		return 0, err
	}
	s := running.Fork()
	s.Record()
	from := s.Time()
	s.Pedal(c.Pedal, quickPress)
	if err := s.Advance(ctx, waitMost); err != nil {
		return 0, err
	}
	stands := s.State().PedalTravel - standsWithin
	return since(s, from, func(at sim.State) float64 { return float64(at.PedalTravel - stands) }), nil
}

// recharge times the vacuum after a press.
func (r *Rig) recharge(ctx context.Context, c Conditions) (float64, error) {
	running, err := r.idling(ctx)
	if err != nil {
		return 0, err
	}
	target := running.State().FrontVacuum - si.Vacuum(backWithin)
	held, err := r.idlingHeld(ctx, c.Pedal)
	if err != nil {
		return 0, err
	}
	s := held.Fork()
	s.Record()
	from := s.Time()
	s.Pedal(0, quickPress)
	if err := s.Advance(ctx, waitMost); err != nil {
		return 0, err
	}
	// While the hub runs back the front chamber grows smaller and air comes over
	// from the other: only when both are back is the needle there to stay.
	return since(s, from, func(at sim.State) float64 { return float64(min(at.FrontVacuum, at.WorkingVacuum) - target) }), nil
}

// since is the time from a moment of a record of waitMost until a quantity has come
// up to 0, waitMost if it does not; it is taken to stay there.
func since(s *sim.Session, from si.Time, of func(sim.State) float64) float64 {
	if of(s.State()) < 0 {
		return float64(waitMost)
	}
	record := s.Trajectory()
	return rootfind.Crossing(float64(from), float64(from+waitMost), watchedTo, func(at float64) float64 {
		return of(record.At(si.Time(at)))
	}) - float64(from)
}
