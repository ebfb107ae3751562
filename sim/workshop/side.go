package workshop

import "kneepoint/sim"

// A Side is a part of the way from the engine's vacuum to the road.
type Side string

// The sides. What is wrong with the pedal itself is on none of them.
const (
	NoSide    Side = ""
	Supply    Side = "supply"
	Booster   Side = "booster"
	Hydraulic Side = "hydraulic"
	Wheel     Side = "wheel"
)

// Sides lists them in the order of the way.
func Sides() []Side { return []Side{Supply, Booster, Hydraulic, Wheel} }

// MarshalJSON writes the side's name, or null.
func (s Side) MarshalJSON() ([]byte, error) {
	if s == NoSide {
		return []byte("null"), nil
	}
	return []byte(`"` + s + `"`), nil
}

// Words name a side for people.
func (s Side) Words() string {
	switch s {
	case Supply:
		return "the vacuum supply"
	case Booster:
		return "the booster"
	case Hydraulic:
		return "the hydraulics"
	case Wheel:
		return "the wheel brakes"
	}
	return "the pedal"
}

// SideOf says on which side a fault is. A rod between booster and master cylinder is set at
// the booster.
func SideOf(name sim.FaultName) Side { return remedies[name].side }
