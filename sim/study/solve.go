package study

import (
	"context"
	"math"

	"kneepoint/internal/rootfind"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// Where the root-finding looks, and how closely.
const (
	leastVacuumWithin    = 50.0  // Pa
	mostTank             = 40e-3 // m³
	leastReservoirWithin = 5e-6  // m³
	leastRatio           = 2.0
	mostRatio            = 20.0
	equalRatioWithin     = 1e-3
)

// A piece of a choice's work is an option, or what a search about the present parts finds.
type piece struct {
	Performance
	LeastVacuum    answer.Optional[si.Vacuum]
	LeastReservoir answer.Optional[si.Volume]
	LeastPump      answer.Optional[si.VolumeFlow]
	Equal          EqualManual
}

// The searches about the present parts, none of which waits for another. The first of them
// simulates these and finds the manual pedal that asks for as much.
const (
	searchPresent = iota
	searchVacuum
	searchReservoir
	searchPump
	countSearches
)

func searchFor(ctx context.Context, s *scenario.Scenario, what int) (piece, error) {
	var p piece
	boosted := s.Config.Booster.Kind != sim.BoosterNone
	var err error
	switch {
	case what == searchPresent:
		present := newOption(presentParts(s))
		if err = present.simulate(ctx, s); err == nil && boosted {
			p.Equal, err = equalManual(ctx, s, present)
		}
		p.Performance = present.Performance
	case !boosted:
	case what == searchVacuum:
		p.LeastVacuum, err = leastVacuum(ctx, s)
	case what == searchReservoir:
		p.LeastReservoir, err = leastReservoir(ctx, s)
	case what == searchPump:
		p.LeastPump, err = leastPump(ctx, s)
	}
	return p, err
}

// takeSearches judges the present parts and takes what was found of them.
func (r *ChooseResult) takeSearches(s *scenario.Scenario, found []piece) {
	present := newOption(presentParts(s))
	present.Performance, present.lock = found[searchPresent].Performance, r.lock
	present.judge(s.Choose)
	r.present = present
	r.LeastVacuum, r.LeastReservoir, r.LeastPump = found[searchVacuum].LeastVacuum, found[searchReservoir].LeastReservoir, found[searchPump].LeastPump
	r.EqualManual = found[searchPresent].Equal
}

func presentParts(s *scenario.Scenario) candidate {
	c := s.Config
	p := candidate{bore: c.Master.Bore, reservoir: c.Reservoir.Volume, pump: c.Pump.FreeFlow > 0}
	p.booster = scenario.BoosterSize{Diameters: c.Booster.Diameters, Text: describeBooster(c, si.US)}
	if c.Booster.Kind == sim.BoosterNone {
		p.booster = scenario.BoosterSize{Text: "none"}
		p.manualRatio = c.Pedal.Ratio
	}
	p.keeps.booster, p.keeps.bore = true, true
	return p
}

// leastVacuum is the least vacuum at the source, where the car is, with which
// the present parts pass.
func leastVacuum(ctx context.Context, s *scenario.Scenario) (answer.Optional[si.Vacuum], error) {
	return smallest(0, mostVacuum(s.Config), leastVacuumWithin, func(v si.Vacuum) (bool, error) {
		car := *s
		car.Config = at(s.Config, v)
		return passes(ctx, &car)
	})
}

// leastReservoir is the least tank with which the present parts have the stops
// left that are wanted; 0 if they need none. A tank that is there already keeps
// its place and its valve.
func leastReservoir(ctx context.Context, s *scenario.Scenario) (answer.Optional[si.Volume], error) {
	return smallest(0, mostTank, leastReservoirWithin, func(v si.Volume) (bool, error) {
		car := *s
		car.Config.Reservoir.Volume = v
		r, err := demanding(ctx, &car, nil, sim.EngineOff, s.Choose.StopsLeft, stopping{counting: true, upTo: s.Choose.DeadLimit})
		if err != nil {
			return false, err
		}
		return r.within(s.Choose.DeadLimit) >= s.Choose.StopsLeft, nil
	})
}

// smallest is least, with the ends tried first: low if it holds there, none if
// it does not hold at high either.
func smallest[T ~float64](low, high, within T, holds func(T) (bool, error)) (answer.Optional[T], error) {
	if ok, err := holds(low); err != nil || ok {
		return answer.Of(low), err
	}
	if ok, err := holds(high); err != nil || !ok {
		return answer.None[T](), err
	}
	v, err := rootfind.Least(float64(low), float64(high), float64(within), func(v float64) (bool, error) { return holds(T(v)) })
	return answer.Of(T(v)), err
}

// equalManual finds the manual pedal that meets the demand at the force that the
// present parts need with the engine running. A bore is bought and a pedal ratio has to
// be made, so it takes the bore on which the pedal stays nearest to the one that is
// there; and it says what that one gives as it is.
func equalManual(ctx context.Context, s *scenario.Scenario, present *ChooseOption) (EqualManual, error) {
	var best EqualManual
	if !present.RunningPedal.Exists() {
		return best, nil
	}
	away := func(m EqualManual) float64 {
		return math.Abs(float64(m.PedalRatio.Value()) - float64(s.Config.Pedal.Ratio))
	}
	for _, bore := range append([]si.Length{s.Manual.Bore}, s.Choose.Bores...) {
		m, err := manualAsEasy(ctx, s, bore, present.RunningPedal.Value())
		if err != nil {
			return best, err
		}
		if m.PedalRatio.Exists() && (!best.PedalRatio.Exists() || away(m) < away(best)) {
			best = m
		}
	}
	if !best.Bore.Exists() {
		return best, nil
	}
	kept := *s
	kept.Manual = scenario.Manual{PedalRatio: s.Config.Pedal.Ratio, Bore: best.Bore.Value()}
	stop, err := manualStop(ctx, &kept)
	if err != nil {
		return best, err
	}
	best.KeptRatio, best.KeptPedal = answer.Of(s.Config.Pedal.Ratio), stop.Needed
	return best, nil
}

// manualStop makes the stop of the choice with the scenario's manual pedal.
func manualStop(ctx context.Context, s *scenario.Scenario) (*Stop, error) {
	manual := *s
	manual.Config = Manual(s)
	r, err := demanding(ctx, &manual, nil, sim.EngineIdle, 1, stopping{})
	if err != nil {
		return nil, err
	}
	return &r.Stops[0], nil
}

// manualAsEasy finds the pedal ratio on a bore at which the demand needs a force.
func manualAsEasy(ctx context.Context, s *scenario.Scenario, bore si.Length, force si.Force) (EqualManual, error) {
	car := *s
	car.Manual.Bore = bore
	var travel answer.Optional[si.Length]
	needs := func(ratio si.Ratio) (si.Force, error) {
		car.Manual.PedalRatio = ratio
		stop, err := manualStop(ctx, &car)
		if err != nil {
			return 0, err
		}
		travel = stop.TravelAtNeeded
		if !stop.Needed.Exists() {
			return si.Force(math.Inf(1)), nil
		}
		return stop.Needed.Value(), nil
	}
	var equal EqualManual
	ratio, err := smallest(leastRatio, mostRatio, equalRatioWithin, func(ratio si.Ratio) (bool, error) {
		f, err := needs(ratio)
		return f <= force, err
	})
	if err != nil || !ratio.Exists() {
		return equal, err
	}
	if _, err := needs(ratio.Value()); err != nil {
		return equal, err
	}
	equal.PedalRatio, equal.Bore, equal.PedalTravel = ratio, answer.Of(bore), travel
	return equal, nil
}
