package study

import (
	"context"
	"fmt"

	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A VolumeRange is the count of stops with as little and as much room in the booster as
// one of its size may have, where nobody gave it.
type VolumeRange struct {
	LowFrontVolume  si.Volume `json:"front_volume_low_m3"`
	HighFrontVolume si.Volume `json:"front_volume_high_m3"`
	// The counts are those with the low and with the high volume, as a result has them.
	LowStops   int `json:"low_assisted_stops"`
	HighStops  int `json:"high_assisted_stops"`
	LowEasy    int `json:"low_easy_stops"`
	HighEasy   int `json:"high_easy_stops"`
	LowHeavy   int `json:"low_heavy_stops"`
	HighHeavy  int `json:"high_heavy_stops"`
	low, high  verdict.Count
	impossible bool
}

// rangeOfStops counts the stops with the room of the measured booster and with that of
// a roomy one, each for the demand of the scenario's own. It leaves alone a booster
// whose front volume was given: that decides the count.
func (r *ReserveResult) rangeOfStops(ctx context.Context, s *scenario.Scenario) error {
	b := s.Config.Booster
	if b.Kind == sim.BoosterNone || s.IsSet(scenario.KeyBoosterFrontVolume) {
		return nil
	}
	// The default is the low end, so that r has its stops.
	roomy := s.Config
	front, rear := sim.RoomyVolumesOf(b.Area)
	roomy.Booster.FrontVolume = max(front, b.FrontVolume)
	if !s.IsSet(scenario.KeyBoosterRearVolume) {
		roomy.Booster.RearVolume = rear
	}
	most := &ReserveResult{settings: s.Reserve, config: roomy}
	want := stopping{}
	if r.DemandLine.Exists() {
		want.line = r.demandLine()
	}
	if err := most.simulate(ctx, want, nil); err != nil {
		return err
	}
	r.VolumeRange = &VolumeRange{
		LowFrontVolume: b.FrontVolume, HighFrontVolume: roomy.Booster.FrontVolume,
		LowStops: r.AssistedStops, HighStops: most.AssistedStops,
		LowEasy: r.EasyStops, HighEasy: most.EasyStops, LowHeavy: r.HeavyStops, HighHeavy: most.HeavyStops,
		low: r.tally(), high: most.tally(),
		impossible: r.Stops[0].missing != noShortfall,
	}
	return nil
}

// decides says that the room makes a difference to what the foot can do.
func (v *VolumeRange) decides() bool { return v != nil && !v.impossible && v.low != v.high }

// words say what the range rests on, and how to get rid of it; there are none where
// the room makes no difference.
func (v *VolumeRange) words(u si.System) []string {
	if !v.decides() {
		return nil
	}
	return []string{fmt.Sprintf("The count is a range, since the booster's volumes are not given: boosters of this size may have %s in front (estimates: one measured booster scaled by area, and shells without anything stamped in). What follows is for the least of that. To know yours, read the vacuum at the booster over a few stops with the engine off and have kneepoint fit find booster.front_volume.",
		si.FormatSpan(si.DimVolume, float64(v.LowFrontVolume), float64(v.HighFrontVolume), u))}
}
