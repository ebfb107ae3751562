package study

import (
	"context"

	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
	"kneepoint/sim/study/answer"
)

// A Measure is one number that can be asked of a scenario, for a map.
type Measure struct {
	Name, Title string
	Dim         si.Dimension
	of          func(context.Context, *scenario.Scenario) (answer.Maybe, error)
}

// Measures lists what a map can show.
func Measures() []Measure {
	stops := func(name, title string, dim si.Dimension, want stopping, of func(*ReserveResult) answer.Maybe) Measure {
		return Measure{name, title, dim, func(ctx context.Context, s *scenario.Scenario) (answer.Maybe, error) {
			r := &ReserveResult{settings: s.Reserve, config: s.Config}
			if !want.counting {
				r.settings.Stops = 1
			}
			if err := r.simulate(ctx, want, nil); err != nil {
				return answer.None(), err
			}
			return of(r), nil
		}}
	}
	curve := func(name, title string, dim si.Dimension, of func(*ForceCurve) answer.Maybe) Measure {
		return Measure{name, title, dim, func(ctx context.Context, s *scenario.Scenario) (answer.Maybe, error) {
			f, err := leastCurve(ctx, s.Config)
			if err != nil {
				return answer.None(), err
			}
			return of(f), nil
		}}
	}
	return []Measure{
		stops("assisted_stops", "assisted stops", si.DimNone, stopping{counting: true},
			func(r *ReserveResult) answer.Maybe { return answer.Maybe(r.AssistedStops) }),
		stops("easy_stops", "easy stops", si.DimNone, stopping{counting: true},
			func(r *ReserveResult) answer.Maybe { return answer.Maybe(r.EasyStops) }),
		stops("heavy_stops", "stops at most heavy", si.DimNone, stopping{counting: true},
			func(r *ReserveResult) answer.Maybe { return answer.Maybe(r.HeavyStops) }),
		stops("needed_pedal", "pedal force the first stop needs", si.DimForce, stopping{},
			func(r *ReserveResult) answer.Maybe { return r.Stops[0].Needed }),
		stops("stop_line", "line pressure of the first stop", si.DimPressure, stopping{},
			func(r *ReserveResult) answer.Maybe { return answer.Maybe(r.Stops[0].Line) }),
		stops("stop_deceleration", "deceleration of the first stop", si.DimAcceleration, stopping{},
			func(r *ReserveResult) answer.Maybe { return answer.Maybe(r.Stops[0].Deceleration) }),
		stops("vacuum_after", "vacuum after the first stop", si.DimVacuum, stopping{},
			func(r *ReserveResult) answer.Maybe { return r.Stops[0].VacuumAfter }),
		stops("start_vacuum", "vacuum before the first stop", si.DimVacuum, stopping{},
			func(r *ReserveResult) answer.Maybe { return r.StartVacuum }),
		stops("recharge_idle", "recharge at idle", si.DimTime, stopping{recharge: true},
			func(r *ReserveResult) answer.Maybe { return r.RechargeIdle }),
		stops("recharge_overrun", "recharge on the overrun", si.DimTime, stopping{recharge: true},
			func(r *ReserveResult) answer.Maybe { return r.RechargeOverrun }),
		curve("knee_pedal", "pedal force at the knee", si.DimForce, func(f *ForceCurve) answer.Maybe { return f.Knee.Pedal }),
		curve("knee_line", "line pressure at the knee", si.DimPressure, func(f *ForceCurve) answer.Maybe { return f.Knee.Line }),
		{"hard_stop_pedal", "pedal force of a hard stop", si.DimForce, hardStopPedalOf},
		{"margin", "margin of the nearest criterion of [choose]", si.DimRatio, margin},
	}
}

// hardStopPedalOf is the force that locks the first axle.
func hardStopPedalOf(ctx context.Context, s *scenario.Scenario) (answer.Maybe, error) {
	kept, err := leastKept(ctx, s.Config)
	if err != nil {
		return answer.None(), err
	}
	h, err := hardStop(ctx, kept.config, s.Reserve)
	return h.Pedal, err
}

// margin is that of the scenario's own parts.
func margin(ctx context.Context, s *scenario.Scenario) (answer.Maybe, error) {
	o := newOption(presentParts(s))
	if err := o.simulate(ctx, s); err != nil {
		return answer.None(), err
	}
	o.judge(s.Choose)
	return o.Margin, nil
}

// MeasureOf returns the measure of a name.
func MeasureOf(name string) (Measure, bool) {
	for _, m := range Measures() {
		if m.Name == name {
			return m, true
		}
	}
	return Measure{}, false
}
