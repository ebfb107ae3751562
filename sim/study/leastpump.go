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

// LeastPump is the least free flow of a pump with which the present parts meet all that
// is asked of a choice; 0 if they do without one. A pump that is there already keeps its
// switches, else they are those of a usual one.
func LeastPump(ctx context.Context, s *scenario.Scenario) (answer.Maybe, error) {
	return smallest(0, mostPump, leastPumpWithin, func(flow float64) (bool, error) {
		car := *s
		car.Config.Pump = sim.Pump{}
		if flow > 0 {
			car.Config.Pump = s.Config.Pump
			if s.Config.Pump.FreeFlow == 0 {
				car.Config.Pump = scenario.TypicalPump()
			}
			car.Config.Pump.FreeFlow = si.VolumeFlow(flow)
		}
		o := newOption(presentParts(&car))
		if err := o.simulateStops(ctx, &car); err != nil {
			return false, err
		}
		o.judge(s.Choose)
		return o.Passes, nil
	})
}

// leastPumpWords print the flow as pumps are sold, in litres a minute whatever the units.
func (r *ChooseResult) leastPumpWords() string {
	litres := func(flow float64) string { return si.Format(si.DimVolumeFlow, flow, si.SI) }
	switch v := r.LeastPump; {
	case !v.Exists():
		return fmt.Sprintf("No electric pump up to %s of free flow makes the present parts meet all of it.", litres(mostPump))
	case v == 0:
		return "They need no electric pump."
	default:
		return fmt.Sprintf("With an electric pump of at least %s free flow they meet all of it.", litres(float64(v)))
	}
}
