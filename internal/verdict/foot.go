package verdict

import (
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// What a pedal force means to a driver.
const (
	// EasyPedal and HeavyPedal are the most that an easy and a heavy stop need
	// (common practice, no source).
	EasyPedal  si.Force = 60 * si.PoundForce
	HeavyPedal si.Force = 100 * si.PoundForce
	// LegalPedal is the most that FMVSS 135 and UN R13-H let a test driver press
	// (secondary copy): a legal bound, and no comfort.
	LegalPedal si.Force = 500
	// HardestPedal is the force beyond which a demand counts as out of reach: more
	// than any driver presses (estimate).
	HardestPedal si.Force = 2000
)

// EffortSource says how far the words of [Effort] can be trusted.
const EffortSource = "common practice, no source"

// Effort says in words what a pedal force means to a driver.
func Effort(f si.Force) string {
	switch {
	case f <= EasyPedal:
		return "easy"
	case f <= HeavyPedal:
		return "heavy"
	}
	return "beyond many drivers"
}

// Stops counts the stops of a series, by the pedal force that each needs, from the
// first up to the first that needs more than a limit or cannot be had.
func Stops(needed []answer.Optional[si.Force], limit si.Force) int {
	for i, f := range needed {
		if !f.Exists() || f.Value() > limit {
			return i
		}
	}
	return len(needed)
}

// Force prints a pedal force, more finely where it would read as a limit that it is beyond:
// "60.3 lbf" is heavy where up to 60 lbf is easy.
func Force(f si.Force, u si.System) string {
	text := si.Show(f, u)
	for _, limit := range []si.Force{EasyPedal, HeavyPedal} {
		if f > limit && text == si.Show(limit, u) {
			return si.FormatFine(si.DimForce, float64(f), u)
		}
	}
	return text
}
