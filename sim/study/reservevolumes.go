package study

import (
	"context"
	"fmt"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A VolumeRange is a count of stops with as little and as much room in the booster as
// one of its size may have, where nobody gave it.
type VolumeRange struct {
	LowFrontVolume  si.Volume `json:"front_volume_low_m3"`
	HighFrontVolume si.Volume `json:"front_volume_high_m3"`
	// LowStops are with the low volume and HighStops with the high one.
	LowStops  int `json:"low_assisted_stops"`
	HighStops int `json:"high_assisted_stops"`
	// lowCapped and highCapped say that none of the stops simulated failed.
	lowCapped, highCapped bool
}

// A stopCount counts the stops of a series that hold.
type stopCount func(*ReserveResult) int

func assistedStops(r *ReserveResult) int { return r.AssistedStops }

// rangeOfStops counts the stops with the room of the measured booster and with that of
// a roomy one, each for the demand of the scenario's own. It leaves alone a booster
// whose front volume was given: that decides the count.
func (r *ReserveResult) rangeOfStops(ctx context.Context, s *scenario.Scenario, count stopCount) error {
	b := s.Config.Booster
	if b.Kind == sim.NoBooster || s.IsSet("booster.front_volume") {
		return nil
	}
	// The default is the low end, so that r has its stops.
	roomy := s.Config
	front, rear := sim.RoomyVolumesOf(b.Area)
	roomy.Booster.FrontVolume = max(front, b.FrontVolume)
	if !s.IsSet("booster.rear_volume") {
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
	v := &VolumeRange{
		LowFrontVolume: b.FrontVolume, HighFrontVolume: roomy.Booster.FrontVolume,
		LowStops: count(r), HighStops: count(most),
	}
	v.lowCapped, v.highCapped = v.LowStops == len(r.Stops), v.HighStops == len(most.Stops)
	r.VolumeRange = v
	return nil
}

// span is the count from one end to the other, "2 to 4"; it is empty where both ends
// have the same, or nothing is known of a range.
func (v *VolumeRange) span() string {
	if v == nil || v.LowStops == v.HighStops {
		return ""
	}
	low, high, capped := v.LowStops, v.HighStops, v.highCapped
	if low > high {
		low, high, capped = high, low, v.lowCapped
	}
	if capped {
		return fmt.Sprintf("%d to at least %d", low, high)
	}
	return fmt.Sprintf("%d to %d", low, high)
}

func (v *VolumeRange) words(u si.System) []string {
	if v == nil || v.lowCapped && v.highCapped {
		return nil
	}
	room := fmt.Sprintf("The booster's volumes are not given, and boosters of this size may have %s in front (estimate: one measured booster scaled by area, and shells without anything stamped in)",
		si.FormatSpan(si.DimVolume, float64(v.LowFrontVolume), float64(v.HighFrontVolume), u))
	if v.span() == "" {
		return []string{room + ": the count is the same at both ends."}
	}
	return []string{fmt.Sprintf("%s: %s stops. The pedal forces below are for the low end. To know it, read the vacuum at the booster over a few stops with the engine off, and have kneepoint fit find booster.front_volume.",
		room, v.span())}
}
