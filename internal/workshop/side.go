package workshop

import "kneepoint/sim"

// SideWords name a side for people.
func SideWords(s sim.Side) string {
	switch s {
	case sim.SideSupply:
		return "the vacuum supply"
	case sim.SideBooster:
		return "the booster"
	case sim.SideHydraulic:
		return "the hydraulics"
	case sim.SideWheel:
		return "the wheel brakes"
	}
	return "the pedal"
}
