package sim

import "kneepoint/sim/si"

// SlidingDeceleration is a stand-in until the brakes' branch is merged.
func (c *Car) SlidingDeceleration() si.Acceleration {
	return si.Acceleration(0.83 * float64(c.Adhesion) * gravity)
}
