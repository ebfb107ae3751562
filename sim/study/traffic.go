package study

import (
	"fmt"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"
	"kneepoint/sim/verdict"
)

// traffic is what the stops there find of a car with a pump; without one nothing exists.
type traffic struct {
	// hardest is the force of the hardest stop.
	hardest answer.Maybe
	// left is the vacuum before the last stop, kept what the pump is there to keep: where
	// it starts, or the least that pump and engine leave at rest, if that is more.
	left, kept answer.Maybe
}

func noTraffic() traffic { return traffic{answer.None(), answer.None(), answer.None()} }

// keptUp says that as much was left as counts as back.
func (t traffic) keptUp() bool { return t.left >= verdict.BackShare*t.kept }

// trafficForce is the criterion that the stops in traffic ask no more of the foot than
// an ordinary one may.
func trafficForce(hardest answer.Maybe, limit si.Force) finding {
	v := atMost(fmt.Sprintf("pedal force of the hardest of %d stops in traffic", verdict.TrafficStops), hardest, limit)
	v.criterion = "traffic"
	return v
}

// keepsUp is the criterion that the pump makes good in traffic what the stops use.
func keepsUp(t traffic) finding {
	v := finding{criterion: "pump", holds: t.keptUp(), room: -1}
	if t.left.Exists() && t.kept > 0 {
		v.room = float64(t.left/(verdict.BackShare*t.kept) - 1)
	}
	v.words = func(u si.System) string {
		left, wanted := apart(si.DimVacuum, float64(t.left), verdict.BackShare*float64(t.kept), u)
		return fmt.Sprintf("vacuum that the pump leaves before stop %d in traffic: %s, at least %s wanted", verdict.TrafficStops, left, wanted)
	}
	return v
}
