package study

import (
	"kneepoint/sim/answer"
	"kneepoint/sim/verdict"
)

// How closely a needed force is found: one of the two is enough.
const (
	forceWithin  = 0.05 // N
	demandWithin = 1e-4 // of the demand: what the integrator is good for
)

// leastForce finds the pedal force at which what is reached, growing with the
// force from nothing at 0, just comes up to the level. The force returned is the
// last one tried that did; it does not exist beyond verdict.HardestPedal.
//
// What is reached has corners in the force, at the jump-in and the knee, and is
// nearly straight between them: a chord finds the place in a few tries unless a
// corner lies on the way, and halving sees to that.
func leastForce(guess, level float64, reached func(float64) (float64, error)) (answer.Maybe, error) {
	const hardest = float64(verdict.HardestPedal)
	aim := level * (1 + demandWithin/2) // to end on the upper side
	var low, high bracket
	low = bracket{0, -aim}
	bracketed, side := false, 0
	widths := [2]float64{hardest, hardest} // of the two tries before
	f := min(max(guess, 1), hardest)
	for {
		v, err := reached(f)
		if err != nil {
			return answer.None(), err
		}
		if v < level {
			if f >= hardest {
				return answer.None(), nil
			}
			chord := max((v-aim-low.miss)/(f-low.force), level/hardest)
			low = bracket{f, v - aim}
			if !bracketed {
				// Go on along the last chord, a little further than it says.
				f = min(max(f-1.05*low.miss/chord, 1.01*f+0.1), 2*f+50, hardest)
				continue
			}
			if side < 0 {
				high.miss /= 2 // an end that stays gets half its weight (Illinois)
			}
			side = -1
		} else {
			if bracketed && side > 0 {
				low.miss /= 2
			}
			high, bracketed, side = bracket{f, v - aim}, true, 1
		}
		width := high.force - low.force
		if width <= forceWithin || side > 0 && v-level <= demandWithin*level {
			return answer.Maybe(high.force), nil
		}
		f = low.force - low.miss*width/(high.miss-low.miss)
		if width > widths[0]/2 {
			f = low.force + width/2
		}
		edge := min(forceWithin, width/4)
		f = min(max(f, low.force+edge), high.force-edge)
		widths[0], widths[1] = widths[1], width
	}
}

// bracket is one end of where the force must lie, and by how much it misses.
type bracket struct{ force, miss float64 }
