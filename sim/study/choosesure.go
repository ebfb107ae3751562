package study

import (
	"context"
	"errors"

	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// sureOfOptions asks how likely the first option and the next meet each
// criterion, and all of them.
func (r *ChooseResult) sureOfOptions(ctx context.Context, s *scenario.Scenario, w Watch) (err error) {
	if len(s.Spreads) == 0 || len(r.Options) == 0 || len(r.Options[0].findings) == 0 {
		return nil
	}
	var criteria []Chance
	var asked []*ChooseOption
	for i := range r.Options[:min(2, len(r.Options))] {
		o := &r.Options[i]
		if len(o.findings) == 0 {
			break
		}
		asked = append(asked, o)
		for _, v := range o.findings {
			criteria = append(criteria, chanceOf(o.parts, v.criterion))
		}
		all := chanceOf(o.parts, "all of it")
		all.sums = len(o.findings)
		criteria = append(criteria, all)
	}
	r.Sure, err = surety(ctx, s, w, criteria, judging(asked),
		"the pedal force that the first option needs",
		needed(asked[0]))
	return err
}

// needed is the pedal force that an option needs in another car.
func needed(o *ChooseOption) func(context.Context, *scenario.Scenario) (float64, error) {
	return func(ctx context.Context, car *scenario.Scenario) (float64, error) {
		built, err := o.parts.in(car)
		if err != nil {
			return 0, err
		}
		one, err := demanding(ctx, built, nil, built.Reserve.Engine, 1, stopping{})
		if err != nil {
			return 0, err
		}
		return forceOr(one.Stops[0].Needed), nil
	}
}

// judging judges options in another car.
func judging(asked []*ChooseOption) func(context.Context, *scenario.Scenario) ([]judged, error) {
	return func(ctx context.Context, car *scenario.Scenario) ([]judged, error) {
		// Whether a criterion holds is all that is asked: no more stops than are wanted.
		car, err := car.Edit([]scenario.Setting{scenario.SettingIn(scenario.KeyReserveStops, si.DimNone, float64(max(1, min(car.Reserve.Stops, car.Choose.StopsLeft))))})
		if err != nil {
			return nil, err
		}
		var out []judged
		for _, o := range asked {
			again, err := considerStops(ctx, car, o.parts)
			if err != nil {
				return nil, err
			}
			if len(again.findings) != len(o.findings) {
				return nil, errors.New(again.Why)
			}
			for _, v := range again.findings {
				out = append(out, judged{v.holds, v.room})
			}
			out = append(out, judged{holds: again.Passes})
		}
		return out, nil
	}
}

// chanceOf asks how likely parts meet a criterion.
func chanceOf(parts candidate, criterion string) Chance {
	return Chance{Option: parts.text(si.SI), Criterion: criterion, option: parts.text}
}
