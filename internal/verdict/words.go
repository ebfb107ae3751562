package verdict

import (
	"fmt"

	"kneepoint/sim/si"
)

// Enough says whether what a foot needs is enough of a brake: of the vacuum, the
// booster or the pedal that asks for it.
func Enough(f si.Force) string {
	switch {
	case f <= EasyPedal:
		return "enough, with an easy pedal"
	case f <= HeavyPedal:
		return "short: that is a heavy pedal"
	}
	return "not enough: that is beyond many drivers"
}

// A Count is how many stops of a series are easy and how many at most heavy, each
// from the first on, of so many that were made.
type Count struct{ Easy, Heavy, Made int }

// String is the count in words: "2 stops are easy, and 4 at most heavy".
func (c Count) String() string {
	switch {
	case c.Easy == c.Made:
		return fmt.Sprintf("at least %s easy", stopsAre(c.Easy))
	case c.Heavy == 0:
		return "no stop is easy, and the first is already beyond many drivers"
	case c.Heavy == c.Made:
		return fmt.Sprintf("%s easy, and at least %d at most heavy", stopsAre(c.Easy), c.Heavy)
	case c.Heavy == c.Easy:
		return fmt.Sprintf("%s easy, and the next is already beyond many drivers", stopsAre(c.Easy))
	case c.Easy == 0:
		return fmt.Sprintf("no stop is easy, and %s at most heavy", stopsAre(c.Heavy))
	}
	return fmt.Sprintf("%s easy, and %d at most heavy", stopsAre(c.Easy), c.Heavy)
}

func stopsAre(n int) string {
	switch n {
	case 0:
		return "no stop is"
	case 1:
		return "one stop is"
	}
	return fmt.Sprintf("%d stops are", n)
}

// DangerousOrder is said by every verb that finds the rear wheels locking first.
const DangerousOrder = "That is the dangerous order: with the rear wheels locked a car turns round."
