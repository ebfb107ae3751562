package sim

import "math"

// The master cylinder (estimates where no source is named).
const (
	masterCompliance = 0.02e-12 // m³/Pa of the whole cylinder
	cavitation       = -0.05e6  // Pa: below it the seals let fluid in
	cavitationRound  = 0.03e6   // Pa
	pistonRounding   = 20e-6    // m
	engageTravel     = 0.1e-3   // m over which the piston takes up its preload
	floaterDrag      = 200.0    // N s/m
	floaterSpring    = 200.0    // N/m, of each of the springs that centre it
	bumpRounding     = 20e-6    // m
)

// master is the cylinder as a store: from the travel of whatever pushes it, the
// floating piston of a dual one and the fluid that has left, it gives the
// pressure in each half and the force against the push.
type master struct {
	pusher   *body
	floater  stateSlot // nowhere in a single one
	circuits [2]*circuit
	area     float64
	freePlay float64 // of the pusher before it meets the piston
	stroke   float64
	spring   float64
	rate     float64
	// seeped is the fluid that has left the first half past a seal or out of the pipes
	// and has not come back from the reservoir; nowhere in a sound one.
	seeped stateSlot
	// trapped is the fluid that a covered return port keeps in each half.
	trapped [2]float64

	pressure [2]signalSlot
	push     signalSlot // N, of pressure, springs and bottomed pistons
	drive    signalSlot // N, on the floating piston
}

// piston is the travel of the first piston, which the pusher meets after its free play.
func (m *master) piston(y []float64) float64 {
	x := y[m.pusher.travel] - m.freePlay
	if m.freePlay == 0 {
		return x
	}
	return ramp(x, pistonRounding)
}

// sealed limits a pressure to what the seals bear below ambient.
func sealed(p float64) float64 { return cavitation + ramp(p-cavitation, cavitationRound) }

// sealedSlope is the derivative of sealed by p.
func sealedSlope(p float64) float64 { return rampSlope(p-cavitation, cavitationRound) }

// bump is the force of a piston that has gone z too far.
func bump(z float64) float64 { return contactStiffness * ramp(z, bumpRounding) }

func bumpSlope(z float64) float64 { return contactStiffness * rampSlope(z, bumpRounding) }

func (m *master) read(_ float64, y []float64, sig *values) {
	x := m.piston(y)
	v1, v2 := m.out(y)
	if m.floater == nowhere {
		p := sealed((m.area*x - v1 - v2) * (1 / masterCompliance))
		sig[m.pressure[0]], sig[m.pressure[1]] = p, p
		sig[m.push] = p*m.area + bump(x-m.stroke) + m.spring + m.rate*x
		return
	}
	f := y[m.floater]
	p1 := sealed((m.area*(x-f) - v1) * (2 / masterCompliance))
	p2 := sealed((m.area*f - v2) * (2 / masterCompliance))
	onFloater, end := bump(x-f-m.stroke/2), bump(f-m.stroke/2)
	sig[m.pressure[0]], sig[m.pressure[1]] = p1, p2
	sig[m.push] = p1*m.area + onFloater + m.spring + m.rate*x
	sig[m.drive] = (p1-p2)*m.area + onFloater - end - floaterSpring*(2*f-x)
}

// out is the fluid that has left each half, less what is kept in it at rest.
func (m *master) out(y []float64) (v1, v2 float64) {
	v1 = y[m.circuits[0].volume] - m.trapped[0]
	if m.seeped != nowhere {
		v1 += y[m.seeped]
	}
	return v1, y[m.circuits[1].volume] - m.trapped[1]
}

func (m *master) depends() []dependence {
	sound := m.dependsSound()
	switch {
	case m.seeped == nowhere:
		return sound
	case m.floater == nowhere:
		return append(sound, dependence{m.pressure[0], m.seeped}, dependence{m.pressure[1], m.seeped}, dependence{m.push, m.seeped})
	}
	return append(sound, dependence{m.pressure[0], m.seeped}, dependence{m.push, m.seeped}, dependence{m.drive, m.seeped})
}

func (m *master) dependsSound() []dependence {
	x, v1, v2 := m.pusher.travel, m.circuits[0].volume, m.circuits[1].volume
	p1, p2 := m.pressure[0], m.pressure[1]
	if m.floater == nowhere {
		return []dependence{
			{p1, x}, {p1, v1}, {p1, v2}, {p2, x}, {p2, v1}, {p2, v2},
			{m.push, x}, {m.push, v1}, {m.push, v2},
		}
	}
	f := m.floater
	return []dependence{
		{p1, x}, {p1, f}, {p1, v1}, {p2, f}, {p2, v2},
		{m.push, x}, {m.push, f}, {m.push, v1},
		{m.drive, x}, {m.drive, f}, {m.drive, v1}, {m.drive, v2},
	}
}

func (m *master) slopes(_ float64, y []float64, _ *values, d []float64) {
	x, byPusher := m.piston(y), 1.0
	if m.freePlay != 0 {
		byPusher = rampSlope(y[m.pusher.travel]-m.freePlay, pistonRounding)
	}
	a := m.area
	v1, v2 := m.out(y)
	if m.floater == nowhere {
		const stiff = 1 / masterCompliance
		s := stiff * sealedSlope((a*x-v1-v2)*stiff)
		d[0], d[1], d[2] = s*a*byPusher, -s, -s
		d[3], d[4], d[5] = d[0], d[1], d[2]
		d[6], d[7], d[8] = (s*a*a+bumpSlope(x-m.stroke)+m.rate)*byPusher, -s*a, -s*a
		if m.seeped != nowhere {
			d[9], d[10], d[11] = -s, -s, -s*a
		}
		return
	}
	const stiff = 2 / masterCompliance
	f := y[m.floater]
	s1, s2 := stiff*sealedSlope((a*(x-f)-v1)*stiff), stiff*sealedSlope((a*f-v2)*stiff)
	onFloater, end := bumpSlope(x-f-m.stroke/2), bumpSlope(f-m.stroke/2)
	d[0], d[1], d[2], d[3], d[4] = s1*a*byPusher, -s1*a, -s1, s2*a, -s2
	d[5], d[6], d[7] = (s1*a*a+onFloater+m.rate)*byPusher, -s1*a*a-onFloater, -s1*a
	d[8] = (s1*a*a + onFloater + floaterSpring) * byPusher
	d[9] = -(s1+s2)*a*a - onFloater - end - 2*floaterSpring
	d[10], d[11] = -s1*a, s2*a
	if m.seeped != nowhere {
		d[12], d[13], d[14] = -s1, -s1*a, -s1*a
	}
}

// boreArea is the area of a piston of the given bore.
func boreArea(bore float64) float64 { return math.Pi / 4 * bore * bore }
