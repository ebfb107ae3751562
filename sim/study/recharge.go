package study

import (
	"context"
	"fmt"

	"kneepoint/internal/rootfind"
	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

const rechargeWithin si.Time = 1e-3

// recharge is the time in which the vacuum of the car at rest, the least that a pump leaves,
// comes back after a stop, with the engine in the given state.
func (r *ReserveResult) recharge(ctx context.Context, d demand, engine sim.EngineState) (answer.Optional[si.Time], error) {
	if !hasPump(r.config) {
		s, err := r.car.settled(ctx, engine)
		if err != nil {
			return answer.None[si.Time](), err
		}
		return regain(ctx, s, r.settings, r.Stops[0].Pedal)
	}
	s, err := r.pumped.rest(ctx, engine)
	if err != nil {
		return answer.None[si.Time](), err
	}
	force, err := r.stopForce(ctx, s, d)
	if err != nil {
		return answer.None[si.Time](), err
	}
	return regain(ctx, s, r.settings, force)
}

// regain makes one stop and returns the time from the end of its release until the
// vacuum is back. It does not exist if that takes longer than verdict.RechargeMost.
func regain(ctx context.Context, s *sim.Session, set scenario.Reserve, f si.Force) (answer.Optional[si.Time], error) {
	none := answer.None[si.Time]()
	target := targets(s.State())
	if !(s.State().FrontVacuum > 0) {
		return none, nil
	}
	if _, err := press(ctx, s, set, f); err != nil {
		return none, err
	}
	if err := s.Advance(ctx, set.Release); err != nil {
		return none, err
	}
	s.Record()
	released := s.Time()
	for chunk := si.Time(1); ; chunk *= 2 {
		if target.over(s.State()) >= 0 {
			break
		}
		if s.Time() >= released+verdict.RechargeMost {
			return none, nil
		}
		if err := s.Advance(ctx, chunk); err != nil {
			return none, err
		}
	}
	t := s.Trajectory()
	at := rootfind.Crossing(float64(released), float64(s.Time()), float64(rechargeWithin), func(at float64) float64 {
		return target.over(t.At(si.Time(at)))
	})
	return answer.Of(si.Time(at - float64(released))), nil
}

// refilled is what counts as back in the booster and in the tank.
type refilled struct{ front, tank si.Vacuum }

// targets returns the vacua that count as back.
func targets(before sim.State) refilled {
	r := refilled{front: verdict.BackShare * before.FrontVacuum}
	if tank := answer.Of(before.ReservoirVacuum); tank.Exists() {
		r.tank = verdict.BackShare * before.ReservoirVacuum
	}
	return r
}

// over is by how much the vacuum is beyond what counts as back, below 0 where it is
// not back. It asks for the working chamber too: as long as the hub still runs back,
// the front chamber alone looks better than it will be.
func (r refilled) over(s sim.State) float64 {
	front := float64(min(s.FrontVacuum, s.WorkingVacuum) - r.front)
	if r.tank == 0 {
		return front
	}
	return min(front, float64(s.ReservoirVacuum-r.tank))
}

// backInTime is the criterion that the vacuum is back in time.
func backInTime(found answer.Optional[si.Time], limit si.Time) finding {
	v := atMost("recharge", found, limit)
	v.words = func(si.System) string {
		if !found.Exists() {
			return fmt.Sprintf("recharge: not within %s, at most %s wanted", si.Seconds(verdict.RechargeMost), si.Seconds(limit))
		}
		return fmt.Sprintf("recharge %s, at most %s wanted", si.Seconds(found.Value()), si.Seconds(limit))
	}
	return v
}
