package study

import (
	"context"

	"kneepoint/internal/batch"
	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A Standing is what the foot needs of a car in the situations that decide whether it
// stops, and no more: the figures of Reserve and Curve, without what those record on the
// way, for whoever has to ask about many cars.
type Standing struct {
	// Everyday is the force, in N, of the first stop of Reserve with the engine idling,
	// with a pump that where the driver is helped least: PumpDuty.Needed.
	Everyday answer.Optional[si.Force]
	// Panic is the hard stop of Curve, at the least vacuum that a pump leaves if there is one.
	Panic HardStop
	// Dead counts the stops of Reserve with the engine off.
	Dead verdict.Count
}

// Stand finds the standing of the scenario's car, with at most so many stops with the
// engine dead; zero for as many as Reserve makes.
func Stand(ctx context.Context, s *scenario.Scenario, stops int) (*Standing, error) {
	car, err := park(ctx, s.Config)
	if err != nil {
		return nil, err
	}
	running := &ReserveResult{settings: s.Reserve, config: s.Config, car: car}
	running.settings.Engine, running.settings.Stops = sim.EngineIdle, 1
	if err := running.simulate(ctx, stopping{helpedLeast: true}, nil); err != nil {
		return nil, err
	}
	dead := &ReserveResult{settings: s.Reserve, config: s.Config, car: car}
	dead.settings.Engine = sim.EngineOff
	if stops > 0 {
		dead.settings.Stops = min(stops, dead.settings.Stops)
	}
	if err := dead.simulate(ctx, stopping{counting: true}, nil); err != nil {
		return nil, err
	}
	hard, err := car.hardStop(ctx, s.Reserve)
	return &Standing{Everyday: running.Stops[0].Needed, Panic: hard, Dead: dead.tally()}, err
}

// Standings finds the standing of each of n cars, and nil where the car cannot be had or
// be simulated. Only the end of the context, or of the crew, is an error.
func Standings(ctx context.Context, n, stops int, w Watch, car func(i int) (*scenario.Scenario, error)) ([]*Standing, error) {
	type figures struct {
		Everyday, Pedal   answer.Optional[si.Force]
		Missing           shortfall
		Easy, Heavy, Made int32
		Found             bool
	}
	found, _, err := batch.Gather(ctx, n, w, func(ctx context.Context, i int) (figures, error) {
		s, err := car(i)
		if err != nil {
			return figures{}, nil
		}
		f, err := Stand(ctx, s, stops)
		if err != nil {
			return figures{}, ctx.Err()
		}
		return figures{f.Everyday, f.Panic.Pedal, f.Panic.missing, int32(f.Dead.Easy), int32(f.Dead.Heavy), int32(f.Dead.Made), true}, nil
	})
	if err != nil {
		return nil, err
	}
	out := make([]*Standing, n)
	for i, f := range found {
		if !f.Found {
			continue
		}
		s, err := car(i)
		if err != nil {
			return nil, err // it was there a moment ago
		}
		hard := HardStop{verdict.RoadOf(&s.Config).FirstLock(), f.Missing}
		hard.Pedal = f.Pedal
		out[i] = &Standing{f.Everyday, hard, verdict.Count{Easy: int(f.Easy), Heavy: int(f.Heavy), Made: int(f.Made)}}
	}
	return out, nil
}

// Called is the one word that the hard stop gets: how heavy the pedal is, or what ends first.
func (h HardStop) Called() string { return h.called() }

// Said is what the hard stop takes, in words: "34 lbf, easy".
func (h HardStop) Said(u si.System) string { return h.short(u) }

// Shortfall is why the stop cannot be had at any pedal force, in the units asked for; it
// is empty where it can.
func (r *ReserveResult) Shortfall(i int, u si.System) string {
	return r.shortfallWords(r.Stops[i].missing, u)
}
