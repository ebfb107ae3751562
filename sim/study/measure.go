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
	return []Measure{
		count("assisted_stops", "assisted stops", func(r *ReserveResult) int { return r.AssistedStops }),
		count("easy_stops", "easy stops", func(r *ReserveResult) int { return r.EasyStops }),
		count("heavy_stops", "stops at most heavy", func(r *ReserveResult) int { return r.HeavyStops }),
		ofStop("needed_pedal", "pedal force the first stop needs", stopping{},
			func(r *ReserveResult) answer.Optional[si.Force] { return r.Stops[0].Needed }),
		ofStop("stop_line", "line pressure of the first stop", stopping{},
			func(r *ReserveResult) answer.Optional[si.Pressure] { return answer.Of(r.Stops[0].Line) }),
		ofStop("stop_deceleration", "deceleration of the first stop", stopping{},
			func(r *ReserveResult) answer.Optional[si.Acceleration] { return answer.Of(r.Stops[0].Deceleration) }),
		ofStop("vacuum_after", "vacuum after the first stop", stopping{},
			func(r *ReserveResult) answer.Optional[si.Vacuum] { return r.Stops[0].VacuumAfter }),
		ofStop("start_vacuum", "vacuum before the first stop", stopping{},
			func(r *ReserveResult) answer.Optional[si.Vacuum] { return r.StartVacuum }),
		ofStop("recharge_idle", "recharge at idle", stopping{recharge: true},
			func(r *ReserveResult) answer.Optional[si.Time] { return r.RechargeIdle }),
		ofStop("recharge_overrun", "recharge on the overrun", stopping{overrun: true},
			func(r *ReserveResult) answer.Optional[si.Time] { return r.RechargeOverrun }),
		ofKnee("knee_pedal", "pedal force at the knee", func(k Knee) answer.Optional[si.Force] { return k.Pedal }),
		ofKnee("knee_line", "line pressure at the knee", func(k Knee) answer.Optional[si.Pressure] { return k.Line }),
		quantity("hard_stop_pedal", "pedal force of a hard stop", hardStopPedalOf),
		quantity("margin", "margin of the nearest criterion of [choose]", margin),
	}
}

// quantity is a measure in the dimension of what it finds.
func quantity[T si.Quantity](name, title string, of func(context.Context, *scenario.Scenario) (answer.Optional[T], error)) Measure {
	var zero T
	return Measure{Name: name, Title: title, Dim: zero.Dimension(), of: func(ctx context.Context, s *scenario.Scenario) (answer.Optional[float64], error) {
		v, err := of(ctx, s)
		return answer.As[float64](v), err
	}}
}

// count is one of the stops that [Reserve] makes, decided with the first that is not in it.
func count(name, title string, of func(*ReserveResult) int) Measure {
	return Measure{
		Name: name, Title: title, Dim: si.DimNone,
		of: func(ctx context.Context, s *scenario.Scenario) (answer.Optional[float64], error) {
			r := &ReserveResult{settings: s.Reserve, config: s.Config}
			err := r.simulate(ctx, stopping{enough: func(r *ReserveResult) bool { return of(r) < len(r.Stops) }}, nil)
			if err != nil {
				return answer.None[float64](), err
			}
			return answer.Of(float64(of(r))), nil
		},
		capped: func(s *scenario.Scenario, v answer.Optional[float64]) bool { return int(v.Value()) == s.Reserve.Stops },
	}
}

// ofStop is a measure of a single stop.
func ofStop[T si.Quantity](name, title string, want stopping, of func(*ReserveResult) answer.Optional[T]) Measure {
	return quantity(name, title, func(ctx context.Context, s *scenario.Scenario) (answer.Optional[T], error) {
		r := &ReserveResult{settings: s.Reserve, config: s.Config}
		r.settings.Stops = 1
		if err := r.simulate(ctx, want, nil); err != nil {
			return answer.None[T](), err
		}
		return of(r), nil
	})
}

// ofKnee is a measure of the least knee.
func ofKnee[T si.Quantity](name, title string, of func(Knee) answer.Optional[T]) Measure {
	return quantity(name, title, func(ctx context.Context, s *scenario.Scenario) (answer.Optional[T], error) {
		car, err := park(ctx, s.Config)
		if err != nil {
			return answer.None[T](), err
		}
		knee, err := car.leastKnee(ctx)
		return of(knee), err
	})
}

// hardStopPedalOf is the force that locks the first axle.
func hardStopPedalOf(ctx context.Context, s *scenario.Scenario) (answer.Optional[si.Force], error) {
	h, err := hardStop(ctx, s.Config, s.Reserve)
	return h.Pedal, err
}

// margin is that of the scenario's own parts.
func margin(ctx context.Context, s *scenario.Scenario) (answer.Optional[si.Ratio], error) {
	o := newOption(presentParts(s))
	if err := o.simulate(ctx, s); err != nil {
		return answer.None[si.Ratio](), err
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
