package study

import (
	"context"
	"fmt"
	"math"

	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// sureOfStops asks how likely it is that so many stops are assisted, each for
// the demand that the scenario's own values give.
func (r *ReserveResult) sureOfStops(ctx context.Context, s *scenario.Scenario, w Watch) (err error) {
	if len(s.Spreads) == 0 {
		return nil
	}
	if _, _, estimated := s.EstimatedVacuum(); estimated && len(s.Spreads) == 1 {
		return r.bandOfStops(ctx, s)
	}
	most := min(len(r.Stops), r.AssistedStops+2)
	criteria := make([]Chance, most)
	for k := range criteria {
		criteria[k].Criterion = "at least " + counted(k+1, "assisted stop")
	}
	stops := func(ctx context.Context, car *scenario.Scenario, n int) (*ReserveResult, error) {
		one := &ReserveResult{settings: car.Reserve, config: car.Config}
		one.settings.Stops = n
		want := stopping{}
		if r.DemandLine.Exists() {
			want.line = r.demandLine()
		}
		return one, one.simulate(ctx, want, nil)
	}
	at := max(1, r.AssistedStops)
	r.Sure, err = surety(ctx, s, w, criteria,
		func(ctx context.Context, car *scenario.Scenario) ([]judged, error) {
			one, err := stops(ctx, car, most)
			if err != nil {
				return nil, err
			}
			out := make([]judged, most)
			room := math.Inf(1)
			for k := range out {
				stop := &one.Stops[k]
				room = min(room, 1-forceOr(stop.Needed)/float64(car.Reserve.ForceLimit))
				if stop.Needed.Exists() {
					room = min(room, float64(stop.ShareAtNeeded.Value())-float64(car.Reserve.ShareLimit))
				}
				out[k] = judged{one.AssistedStops > k, room}
			}
			return out, nil
		},
		fmt.Sprintf("the pedal force that stop %d needs", at),
		func(ctx context.Context, car *scenario.Scenario) (float64, error) {
			one, err := stops(ctx, car, at)
			if err != nil {
				return 0, err
			}
			return forceOr(one.Stops[at-1].Needed), nil
		})
	return err
}

// A Band is a count of stops at both ends of an estimated vacuum.
type Band struct {
	LowVacuum  si.Vacuum `json:"low_vacuum_pa"`
	HighVacuum si.Vacuum `json:"high_vacuum_pa"`
	LowStops   int       `json:"low_assisted_stops"`
	HighStops  int       `json:"high_assisted_stops"`
}

// bandOfStops counts the stops at both ends of the estimate, each for the demand
// that the middle gives.
func (r *ReserveResult) bandOfStops(ctx context.Context, s *scenario.Scenario) error {
	low, high, _ := s.EstimatedVacuum()
	count := func(v si.Vacuum) (int, error) {
		one := &ReserveResult{settings: s.Reserve, config: at(s.Config, v)}
		want := stopping{counting: true}
		if r.DemandLine.Exists() {
			want.line = r.demandLine()
		}
		err := one.simulate(ctx, want, nil)
		return one.AssistedStops, err
	}
	atLow, err := count(low)
	if err != nil {
		return err
	}
	atHigh, err := count(high)
	r.Estimated = &Band{low, high, atLow, atHigh}
	return err
}

func (b *Band) words(u si.System) []string {
	if b == nil {
		return nil
	}
	return []string{fmt.Sprintf("The vacuum was not measured. The cam lets expect %s (estimate): for the same demand that is %d assisted stops at the low end and %d at the high one. Measure it.",
		si.FormatSpan(si.DimVacuum, float64(b.LowVacuum), float64(b.HighVacuum), u), b.LowStops, b.HighStops)}
}
