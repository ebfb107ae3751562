package study

import (
	"context"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
)

// passes reports whether the parts of a car meet all that is asked of a choice. It
// simulates no more than decides that: what takes least comes first, and of the stops no
// more are made than are wanted.
func passes(ctx context.Context, s *scenario.Scenario) (bool, error) {
	car := *s
	car.Reserve.Stops = max(1, min(s.Reserve.Stops, s.Choose.StopsLeft))
	o := newOption(presentParts(&car))
	parked, err := park(ctx, car.Config)
	if err != nil {
		return false, err
	}
	if err := o.runStop(ctx, &car, parked); err != nil {
		return false, err
	}
	for _, v := range o.ofRunStop(car.Choose) {
		if !v.holds {
			return false, nil
		}
	}
	worth := func(r *ReserveResult) bool {
		return r.settings.Engine != sim.EngineOff || r.within(car.Choose.DeadLimit) >= car.Choose.StopsLeft
	}
	if err := o.makeSeries(ctx, &car, parked, worth); err != nil {
		return false, err
	}
	o.judge(car.Choose)
	return o.Passes, nil
}
