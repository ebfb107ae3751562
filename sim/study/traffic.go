package study

import (
	"fmt"

	"kneepoint/internal/verdict"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// Traffic is what the stops there find of a car with a pump; without one nothing exists.
type Traffic struct {
	// TrafficPedal is the force of the hardest stop.
	TrafficPedal answer.Optional[si.Force] `json:"traffic_pedal_n"`
	// TrafficVacuum is there before the last stop, TrafficKept what the pump is there to
	// keep: where it starts, or the least that pump and engine leave at rest, if that is more.
	TrafficVacuum answer.Optional[si.Vacuum] `json:"traffic_vacuum_pa"`
	TrafficKept   answer.Optional[si.Vacuum] `json:"-"`
}

// keptUp says that as much was left as counts as back.
func (t Traffic) keptUp() bool {
	return t.TrafficVacuum.Value() >= verdict.BackShare*t.TrafficKept.Value()
}

// trafficForce is the criterion that the stops in traffic ask no more of the foot than
// an ordinary one may.
func trafficForce(hardest answer.Optional[si.Force], limit si.Force) finding {
	v := atMost(fmt.Sprintf("pedal force of the hardest of %d stops in traffic", verdict.TrafficStops), hardest, limit)
	v.criterion = "traffic"
	return v
}

// keepsUp is the criterion that the pump makes good in traffic what the stops use.
func keepsUp(t Traffic) finding {
	v := finding{criterion: "pump", holds: t.keptUp(), room: -1}
	if t.TrafficVacuum.Exists() && t.TrafficKept.Value() > 0 {
		v.room = float64(t.TrafficVacuum.Value()/(verdict.BackShare*t.TrafficKept.Value()) - 1)
	}
	v.words = func(u si.System) string {
		left, wanted := apart(si.DimVacuum, float64(t.TrafficVacuum.Value()), verdict.BackShare*float64(t.TrafficKept.Value()), u)
		return fmt.Sprintf("vacuum that the pump leaves before stop %d in traffic: %s, at least %s wanted", verdict.TrafficStops, left, wanted)
	}
	return v
}
