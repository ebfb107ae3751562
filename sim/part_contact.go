package sim

// Metal on metal (estimates): a stiff spring and a damping that fades in.
const (
	contactStiffness = 5e6    // N/m
	contactDamping   = 1600.0 // N s/m
	contactFade      = 50e-6  // m over which the damping comes in
	contactRounding  = 2e-6   // m
)

// touches says that bodies which overlap by z push each other at all; to ask it first
// saves most of the calls of contact.
func touches(z float64) bool { return z > -contactRounding }

// contact returns the force that pushes apart two bodies that overlap by z and
// close at the speed v, and its slopes by both.
func contact(z, v float64) (force, byZ, byV float64) {
	if !touches(z) {
		return 0, 0, 0
	}
	u := z * (1 / contactFade)
	fade := step(u)
	return contactStiffness*ramp(z, contactRounding) + contactDamping*fade*v,
		contactStiffness*rampSlope(z, contactRounding) + contactDamping*stepSlope(u)*(1/contactFade)*v,
		contactDamping * fade
}
