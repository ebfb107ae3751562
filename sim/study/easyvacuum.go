package study

import (
	"context"
	"fmt"

	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// easyVacuumWithin is how closely the least vacuum for an easy hard stop is found, in
// Pa: a tenth of what a gauge shows.
const easyVacuumWithin = 170.0

// easyVacuum is the least vacuum, held by a source where the car is, with which this
// booster makes the hard stop of this car easy; it does not exist where none does. It is
// looked for only where the vacuum there is does not make it easy.
func easyVacuum(ctx context.Context, c sim.Config, set scenario.Reserve, found HardStop) (answer.Optional[si.Vacuum], error) {
	if c.Booster.Kind == sim.BoosterNone || found.missing == byBrakes || found.missing == byStroke || found.Pedal.Value() <= verdict.EasyPedal {
		return answer.None[si.Vacuum](), nil
	}
	c.Pump = sim.Pump{}
	return smallest(0, mostVacuum(c), easyVacuumWithin, func(v si.Vacuum) (bool, error) {
		h, err := hardStop(ctx, at(c, v), set)
		return h.missing == noShortfall && h.Pedal.Value() <= verdict.EasyPedal, err
	})
}

// mostVacuum is the most that a source can have before the booster applies itself: the
// air's push on the hub's tail stays below the spring.
func mostVacuum(c sim.Config) si.Vacuum {
	return si.Vacuum(min(0.95*float64(c.Ambient.Pressure), 0.99*float64(c.Booster.Spring)/float64(c.Booster.TailArea)))
}

// easyVacuumWords say what vacuum would make the hard stop easy.
func (r *CurveResult) easyVacuumWords(u si.System) string {
	if hasLost(&r.config) {
		return ""
	}
	first := &r.Curves[0]
	switch {
	case r.none || first.HardStop.called() == verdict.Effort(0) || first.HardStop.missing == byBrakes || first.HardStop.missing == byStroke:
		return ""
	case !r.EasyVacuum.Exists():
		return "No vacuum makes that stop easy with this booster on this car: a larger booster, a smaller bore or a longer pedal has to do it."
	}
	least := si.FormatUp(si.DimVacuum, float64(r.EasyVacuum.Value()), u)
	if len(r.pumped) > 0 {
		return fmt.Sprintf("For that stop with an easy pedal this booster on this car needs at least %s at all times: from a strong pump that switches on no lower, or from the engine.", least)
	}
	return fmt.Sprintf("For that stop with an easy pedal this booster on this car needs at least %s at the source.", least)
}
