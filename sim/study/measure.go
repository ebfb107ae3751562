package study

import (
	"context"

	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A Measure is one number that can be asked of a scenario, for a map.
type Measure struct {
	Name, Title string
	Dim         si.Dimension
	of          func(context.Context, *scenario.Scenario) (answer.Optional[float64], error)
	// capped says of a count that it is one of so many tries, so that a value of all
	// of them is a lower bound; nil for what is no count.
	capped func(*scenario.Scenario, answer.Optional[float64]) bool
}

// Measures lists what a map can show.
func Measures() []Measure {
	stops := func(name, title string, dim si.Dimension, want stopping, of func(*ReserveResult) answer.Optional[float64]) Measure {
		return Measure{Name: name, Title: title, Dim: dim, of: func(ctx context.Context, s *scenario.Scenario) (answer.Optional[float64], error) {
			r := &ReserveResult{settings: s.Reserve, config: s.Config}
			if want.enough == nil {
				r.settings.Stops = 1
			}
			if err := r.simulate(ctx, want, nil); err != nil {
				return answer.None[float64](), err
			}
			return of(r), nil
		}}
	}
	// A count of the stops that [reserve] makes is decided with the first that is not in it.
	count := func(name, title string, of func(*ReserveResult) int) Measure {
		m := stops(name, title, si.DimNone, stopping{enough: func(r *ReserveResult) bool { return of(r) < len(r.Stops) }},
			func(r *ReserveResult) answer.Optional[float64] { return answer.Of(float64(of(r))) })
		m.capped = func(s *scenario.Scenario, v answer.Optional[float64]) bool { return int(v.Value()) == s.Reserve.Stops }
		return m
	}
	curve := func(name, title string, dim si.Dimension, of func(Knee) answer.Optional[float64]) Measure {
		return Measure{Name: name, Title: title, Dim: dim, of: func(ctx context.Context, s *scenario.Scenario) (answer.Optional[float64], error) {
			car, err := park(ctx, s.Config)
			if err != nil {
				return answer.None[float64](), err
			}
			knee, err := car.leastKnee(ctx)
			return of(knee), err
		}}
	}
	return []Measure{
		count("assisted_stops", "assisted stops", func(r *ReserveResult) int { return r.AssistedStops }),
		count("easy_stops", "easy stops", func(r *ReserveResult) int { return r.EasyStops }),
		count("heavy_stops", "stops at most heavy", func(r *ReserveResult) int { return r.HeavyStops }),
		stops("needed_pedal", "pedal force the first stop needs", si.DimForce, stopping{},
			func(r *ReserveResult) answer.Optional[float64] { return answer.As[float64](r.Stops[0].Needed) }),
		stops("stop_line", "line pressure of the first stop", si.DimPressure, stopping{},
			func(r *ReserveResult) answer.Optional[float64] { return answer.Of(float64(r.Stops[0].Line)) }),
		stops("stop_deceleration", "deceleration of the first stop", si.DimAcceleration, stopping{},
			func(r *ReserveResult) answer.Optional[float64] { return answer.Of(float64(r.Stops[0].Deceleration)) }),
		stops("vacuum_after", "vacuum after the first stop", si.DimVacuum, stopping{},
			func(r *ReserveResult) answer.Optional[float64] { return answer.As[float64](r.Stops[0].VacuumAfter) }),
		stops("start_vacuum", "vacuum before the first stop", si.DimVacuum, stopping{},
			func(r *ReserveResult) answer.Optional[float64] { return answer.As[float64](r.StartVacuum) }),
		stops("recharge_idle", "recharge at idle", si.DimTime, stopping{recharge: true},
			func(r *ReserveResult) answer.Optional[float64] { return answer.As[float64](r.RechargeIdle) }),
		stops("recharge_overrun", "recharge on the overrun", si.DimTime, stopping{overrun: true},
			func(r *ReserveResult) answer.Optional[float64] { return answer.As[float64](r.RechargeOverrun) }),
		curve("knee_pedal", "pedal force at the knee", si.DimForce, func(k Knee) answer.Optional[float64] { return answer.As[float64](k.Pedal) }),
		curve("knee_line", "line pressure at the knee", si.DimPressure, func(k Knee) answer.Optional[float64] { return answer.As[float64](k.Line) }),
		{Name: "hard_stop_pedal", Title: "pedal force of a hard stop", Dim: si.DimForce, of: hardStopPedalOf},
		{Name: "margin", Title: "margin of the nearest criterion of [choose]", Dim: si.DimRatio, of: margin},
	}
}

// hardStopPedalOf is the force that locks the first axle.
func hardStopPedalOf(ctx context.Context, s *scenario.Scenario) (answer.Optional[float64], error) {
	h, err := hardStop(ctx, s.Config, s.Reserve)
	return answer.As[float64](h.Pedal), err
}

// margin is that of the scenario's own parts.
func margin(ctx context.Context, s *scenario.Scenario) (answer.Optional[float64], error) {
	o := newOption(presentParts(s))
	if err := o.simulate(ctx, s); err != nil {
		return answer.None[float64](), err
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
