package scenario

import (
	"cmp"
	"slices"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

// Reserve is a series of stops, alike and evenly spaced.
type Reserve struct {
	// Engine is what the engine, or the bench, does from t = 0: Off, Idle or Cruise.
	Engine sim.EngineState
	// FilledAt says at which vacuum everything has settled before: Idle or Cruise.
	FilledAt sim.EngineState
	// Pedal is the force of each stop. With a Deceleration above zero, as it is unless
	// the force was set, each stop asks for that instead, and Pedal is ForceLimit.
	Pedal        si.Force
	Deceleration si.Acceleration
	// Press, Hold and Release follow each other; Pause lasts to the next press.
	Press, Hold, Release, Pause si.Time
	Stops                       int
	// A stop is assisted when the force it needs is within ForceLimit and the
	// booster's share of the output is at least ShareLimit.
	ForceLimit si.Force
	ShareLimit si.Ratio
}

// Stop returns the press of one stop.
func (r Reserve) Stop(at si.Time) sim.Press {
	return sim.Press{
		At: at, Pedal: r.Pedal, Deceleration: r.Deceleration,
		Press: r.Press, Hold: r.Hold, Release: r.Release,
	}
}

// Next returns when the stop after one at a time begins.
func (r Reserve) Next(at si.Time) si.Time { return r.Stop(at).End() + r.Pause }

// Cycle returns the time from one press to the next.
func (r Reserve) Cycle() si.Time { return r.Press + r.Hold + r.Release + r.Pause }

// The press that a scenario without one runs, and what follows the last of all.
const (
	firstPress si.Time = 1
	afterwards si.Time = 3
	// steadyFoot is an ordinary press (estimate).
	steadyFoot si.Force = 100
)

// Schedule returns what happens over a run: the scenario's presses and events,
// or one stop of [Reserve] where the scenario has no press. It ends a while
// after the last of them.
func (s *Scenario) Schedule() sim.Schedule {
	sched := sim.Schedule{
		Presses: slices.Clone(s.Presses),
		Events:  slices.Clone(s.Events),
	}
	if len(sched.Presses) == 0 {
		stop := s.Reserve.Stop(firstPress)
		if !s.IsSet(KeyReserveDeceleration) && !s.IsSet(KeyReservePedal) {
			// Nobody asked for a driver who seeks: a steady foot shows the car.
			stop.Pedal, stop.Deceleration = steadyFoot, 0
		}
		sched.Presses = []sim.Press{stop}
	}
	slices.SortStableFunc(sched.Presses, func(a, b sim.Press) int { return cmp.Compare(a.At, b.At) })
	slices.SortStableFunc(sched.Events, func(a, b sim.Event) int { return cmp.Compare(a.At, b.At) })
	for _, p := range sched.Presses {
		sched.Until = max(sched.Until, p.End())
	}
	for _, e := range sched.Events {
		sched.Until = max(sched.Until, e.At)
	}
	sched.Until += afterwards
	return sched
}
