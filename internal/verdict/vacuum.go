package verdict

import "kneepoint/sim/si"

// What a booster is expected to want at idle, and the vacuum below which a hard pedal
// is common (common practice, no source). What this booster on this car needs is
// computed; these stand beside it.
const (
	UsualVacuumFrom si.Vacuum = 16 * si.InchOfMercury
	UsualVacuumTo   si.Vacuum = 18 * si.InchOfMercury
	HardPedalBelow  si.Vacuum = 12 * si.InchOfMercury
)
