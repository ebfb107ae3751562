package web

import (
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
	"kneepoint/sim/study"
)

// A point is a pedal force and the line pressure with it.
type point [2]float64

// A curveReply is the force curve to draw behind the live one.
type curveReply struct {
	Press   []point `json:"press"`
	Release []point `json:"release"`
	Manual  []point `json:"manual"`
	CutIn   struct {
		Pedal answer.Optional[si.Force] `json:"pedal_n"`
	} `json:"cut_in"`
	Knee struct {
		Pedal answer.Optional[si.Force]    `json:"pedal_n"`
		Line  answer.Optional[si.Pressure] `json:"line_pa"`
	} `json:"knee"`
	HardStop study.HardStop `json:"hard_stop"`
	// Verdict says what a hard stop of this car takes, by the name of the units.
	Verdict map[string]string `json:"verdict"`
}

func newCurveReply(r *study.CurveResult) curveReply {
	var out curveReply
	// Of an estimated vacuum's band the middle is what the car is driven with; of a
	// pump's two vacua the one where it starts is the worst that the car is driven with.
	f := r.Curves[(len(r.Curves)-1)/2]
	out.CutIn.Pedal = f.CutIn.Pedal
	out.Knee.Pedal, out.Knee.Line = f.Knee.Pedal, f.Knee.Line
	out.HardStop, out.Verdict = f.HardStop, map[string]string{}
	for _, u := range []si.System{si.US, si.SI} {
		out.Verdict[u.String()] = f.Verdict(u)
	}
	for _, p := range f.Points {
		if p.Releasing {
			out.Release = append(out.Release, pointOf(p))
		} else {
			out.Press = append(out.Press, pointOf(p))
		}
	}
	for _, p := range r.Manual.Points {
		if !p.Releasing {
			out.Manual = append(out.Manual, pointOf(p))
		}
	}
	return out
}

func pointOf(p study.CurvePoint) point { return point{float64(p.Pedal), float64(p.Line)} }

// A reserveReply is the series of stops with the engine off.
type reserveReply struct {
	// Stops that are easy, and at most heavy, each from the first on.
	EasyStops  int `json:"easy_stops"`
	HeavyStops int `json:"heavy_stops"`
	// Counted is that in words.
	Counted     string                     `json:"counted"`
	StartVacuum answer.Optional[si.Vacuum] `json:"start_vacuum_pa"`
	// Each stop is of this force, or of this deceleration if that is not null.
	Pedal        si.Force                         `json:"pedal_n"`
	Deceleration answer.Optional[si.Acceleration] `json:"deceleration_mps2"`
	ForceLimit   si.Force                         `json:"force_limit_n"`
	Stops        []study.Stop                     `json:"stops"`
}

func newReserveReply(r *study.ReserveResult, s *scenario.Scenario) reserveReply {
	out := reserveReply{
		EasyStops: r.EasyStops, HeavyStops: r.HeavyStops, Counted: r.Counted(), StartVacuum: r.StartVacuum,
		Pedal: s.Reserve.Pedal, ForceLimit: s.Reserve.ForceLimit, Stops: r.Stops,
	}
	if s.Reserve.Deceleration > 0 {
		out.Deceleration = answer.Of(s.Reserve.Deceleration)
	}
	return out
}
