package study

import (
	"context"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

func (b *Bay) leakDown(ctx context.Context, t trial) (float64, error) {
	filled, err := b.fill(ctx, t.start)
	if err != nil {
		return 0, err
	}
	s := filled.Fork()
	if t.pedal > 0 {
		if err := hold(ctx, s, t.pedal); err != nil {
			return 0, err
		}
	}
	before, after, err := watchStopped(ctx, s, t.lasts)
	if err != nil {
		return 0, err
	}
	// What was lost before the watch was started counts as lost, but for the
	// little that a gauge does not show.
	early := max(0, float64(t.start-before.FrontVacuum)-3*reachWithin)
	return min(max(0, float64(before.FrontVacuum-after.FrontVacuum)+early), float64(t.start)), nil
}

// watchStopped stops the engine, or shuts off the bench, and reads twice: as soon as it
// has come to rest, and after a while.
func watchStopped(ctx context.Context, s *sim.Session, lasts si.Time) (before, after sim.State, err error) {
	s.Engine(sim.Off)
	if err := s.Advance(ctx, stoppedFor); err != nil {
		return before, after, err
	}
	before = s.State()
	err = s.Advance(ctx, lasts)
	return before, s.State(), err
}

// A grip is a pedal force held with a vacuum kept.
type grip struct {
	pedal si.Force
	kept  si.Vacuum
}

// held is the car with the pedal held and the booster's vacuum kept.
func (b *Bay) held(ctx context.Context, t trial) (sim.State, error) {
	key := grip{t.pedal, t.start}
	if done, ok := b.pressed[key]; ok {
		return done, nil
	}
	var s *sim.Session
	var err error
	if t.start == 0 {
		s, err = b.empty(ctx)
	} else if s, err = b.fill(ctx, t.start); err == nil {
		s = s.Fork()
	}
	if err != nil {
		return sim.State{}, err
	}
	if err := hold(ctx, s, t.pedal); err != nil {
		return sim.State{}, err
	}
	b.pressed[key] = s.State()
	return b.pressed[key], nil
}

func (b *Bay) creep(ctx context.Context, t trial) (float64, error) {
	s, err := b.idling(ctx)
	if err != nil {
		return 0, err
	}
	s = s.Fork()
	if err := hold(ctx, s, t.pedal); err != nil {
		return 0, err
	}
	before, after, err := watchStopped(ctx, s, t.lasts)
	return max(0, float64(after.LineFront-before.LineFront)), err
}

// settles times a quick press until the pedal no longer sinks.
func (b *Bay) settles(ctx context.Context, t trial) (float64, error) {
	running, err := b.idling(ctx)
	if err != nil {
		return 0, err
	}
	s := running.Fork()
	s.Record()
	from := s.Time()
	s.Pedal(t.pedal, quickPress)
	if err := s.Advance(ctx, waitMost); err != nil {
		return 0, err
	}
	stands := s.State().PedalTravel - standsWithin
	return b.since(s, from, func(at sim.State) float64 { return float64(at.PedalTravel - stands) }), nil
}

// comesBack times the vacuum after a press.
func (b *Bay) comesBack(ctx context.Context, t trial) (float64, error) {
	running, err := b.idling(ctx)
	if err != nil {
		return 0, err
	}
	s := running.Fork()
	target := s.State().FrontVacuum - si.Vacuum(backWithin)
	if err := hold(ctx, s, t.pedal); err != nil {
		return 0, err
	}
	s.Record()
	from := s.Time()
	s.Pedal(0, quickPress)
	if err := s.Advance(ctx, waitMost); err != nil {
		return 0, err
	}
	// While the hub runs back the front chamber grows smaller and air comes over
	// from the other: only when both are back is the needle there to stay.
	return b.since(s, from, func(at sim.State) float64 { return float64(min(at.FrontVacuum, at.WorkingVacuum) - target) }), nil
}
