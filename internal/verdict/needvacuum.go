package verdict

import "kneepoint/sim/si"

// ShortBy is how far a vacuum may lie below what is needed before it counts as short: half
// of what a gauge shows.
const ShortBy si.Vacuum = 0.25 * si.InchOfMercury

// VacuumShort reports whether a vacuum is less than what is needed.
func VacuumShort(has, needs si.Vacuum) bool { return has < needs-ShortBy }

// VacuumEnough says whether a vacuum is enough for what is needed.
func VacuumEnough(has, needs si.Vacuum) string {
	if VacuumShort(has, needs) {
		return "not enough: that by itself makes a hard pedal"
	}
	return "enough"
}
