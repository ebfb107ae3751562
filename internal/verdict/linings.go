package verdict

import (
	"kneepoint/sim"
	"kneepoint/sim/si"
)

// What is known of a brake whose linings nobody knows.
const (
	// LiningLow and LiningHigh are the friction that most pads and linings lie between:
	// the classes E and F of SAE J866 span 0.25 to 0.45 (secondary copy), and materials
	// are sold from 0.3 on (common practice, no source).
	LiningLow, LiningHigh si.Ratio = 0.30, 0.45
	// ServoLow and ServoHigh are the shoe factors that duo-servo brakes are said to have
	// with a friction of about ServoAt (common practice, no source).
	ServoLow, ServoHigh, ServoAt si.Ratio = 3, 5, 0.35
)

// Linings returns the friction between which a brake's pads or linings usually lie. For
// a duo-servo brake it is that which gives the factors such brakes are said to have.
func Linings(k sim.BrakeKind) (low, high si.Ratio) {
	if k == sim.BrakeDuoServo {
		return k.Friction(ServoLow), k.Friction(ServoHigh)
	}
	return LiningLow, LiningHigh
}
