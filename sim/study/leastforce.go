package study

import (
	"math"

	"kneepoint/internal/verdict"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
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
// The search begins at a guess, and next says from the first try where to go on; it may
// not know, and be no number. What is reached has corners in the force, at the jump-in
// and the knee, and is nearly straight between them: a chord finds the place from there
// unless a corner lies on the way, and halving sees to that.
func leastForce(guess, level float64, next func() float64, reached func(float64) (float64, error)) (answer.Optional[si.Force], error) {
	const (
		hardest = float64(verdict.HardestPedal)
		quick   = 6 // tries before the bracket is narrowed come what may
	)
	aim := aimAt(level)
	low, high := bracket{0, -aim}, bracket{}
	bracketed, side := false, 0
	widths := [2]float64{hardest, hardest} // of the two tries before
	f := hardest
	if guess < hardest {
		f = max(guess, 1)
	}
	var last, here bracket
	var slope float64
	for tries := 1; ; tries++ {
		v, err := reached(f)
		if err != nil {
			return answer.None[si.Force](), err
		}
		last, here = here, bracket{f, v - aim}
		if v < level {
			if f >= hardest {
				return answer.None[si.Force](), nil
			}
			if side < 0 && bracketed {
				high.miss /= 2 // an end that stays gets half its weight (Illinois)
			}
			slope = max((here.miss-low.miss)/(f-low.force), level/hardest)
			low, side = here, -1
		} else {
			if side > 0 {
				low.miss /= 2
			}
			high, bracketed, side = here, true, 1
		}
		width := high.force - low.force
		if bracketed && width <= forceWithin || side > 0 && v-level <= demandWithin*level {
			return answer.Of(si.Force(high.force)), nil
		}
		to := math.NaN()
		if tries == 1 {
			to = next()
		} else if tries < quick {
			to = here.chord(last)
		}
		if !bracketed {
			if !(to > f) {
				// Along the last chord, a little further than it says.
				to = max(f-1.05*here.miss/slope, 1.01*f+0.1)
			}
			f = min(max(to, f+forceWithin), 2*f+50, hardest)
			continue
		}
		if !(to > low.force && to < high.force) {
			to = low.chord(high)
			if width > widths[0]/2 {
				to = low.force + width/2
			}
		}
		edge := min(forceWithin, width/4)
		f = min(max(to, low.force+edge), high.force-edge)
		widths[0], widths[1] = widths[1], width
	}
}

// bracket is one end of where the force must lie, and by how much it misses.
type bracket struct{ force, miss float64 }

// chord is where a straight line through two ends misses nothing.
func (b bracket) chord(o bracket) float64 {
	return b.force - b.miss*(o.force-b.force)/(o.miss-b.miss)
}

// anyNext knows no better than the chord.
func anyNext() float64 { return math.NaN() }

// aimAt is what to aim at so as to end on a level's upper side.
func aimAt(level float64) float64 { return level * (1 + demandWithin/2) }
