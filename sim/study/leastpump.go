package study

import (
	"context"
	"fmt"

	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// Where the least pump is looked for, and how closely: to more than any electric pump
// for a brake booster draws (estimate).
const (
	mostPump        = 60 * si.Litre / si.Minute
	leastPumpWithin = 0.2 * si.Litre / si.Minute
)

// leastPump is the least free flow of a pump with which the present parts meet all that
// is asked of a choice; 0 if they do without one. A pump that is there already keeps its
// switches, else they are those of a usual one.
func leastPump(ctx context.Context, s *scenario.Scenario) (answer.Optional[si.VolumeFlow], error) {
	return smallest(0, mostPump, leastPumpWithin, func(flow si.VolumeFlow) (bool, error) {
		car := *s
		car.Config.Pump = sim.Pump{}
		if flow > 0 {
			car.Config.Pump = pumpToFit(s)
			car.Config.Pump.FreeFlow = flow
		}
		return passes(ctx, &car)
	})
}

// pumpToFit is the pump that a choice fits: the one that is there, or a usual one.
func pumpToFit(s *scenario.Scenario) sim.Pump {
	if s.Config.Pump.FreeFlow > 0 {
		return s.Config.Pump
	}
	return scenario.TypicalPump()
}

// leastPumpWords print the flow as pumps are sold, in litres a minute whatever the units.
func (r *ChooseResult) leastPumpWords(u si.System) string {
	litres := func(flow float64) string { return si.FormatUp(si.DimVolumeFlow, flow, si.SI) }
	switch v := r.LeastPump; {
	case !v.Exists():
		text := fmt.Sprintf("No electric pump that starts at %s, up to %s of free flow, makes the present parts meet all of it", vacuum(r.pumpOn, u), litres(mostPump))
		if least := r.LeastVacuum.Value(); r.LeastVacuum.Exists() && least > r.pumpOn {
			return text + fmt.Sprintf("; it would have to start at %s or above, for the engine may die just before it does.", si.FormatUp(si.DimVacuum, float64(least), u))
		}
		return text + "."
	case v.Value() == 0:
		return "They need no electric pump."
	default:
		return fmt.Sprintf("With an electric pump of at least %s free flow they meet all of it.", litres(float64(v.Value())))
	}
}
