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

	pressure [2]signalSlot
	push     signalSlot // N, of pressure, springs and bottomed pistons
	drive    signalSlot // N, on the floating piston
}

// halves is the state of the cylinder with its slopes.
type halves struct {
	piston, byPusher float64 // travel of the first piston
	pressure         [2]float64
	slope            [2]float64 // of the pressures by their own compression, Pa/m³
	bump, bumpSlope  float64    // first piston on the floater, or on the end wall
	end, endSlope    float64    // floater on the end wall
}

func (m *master) at(y []float64) (h halves) {
	x := y[m.pusher.travel] - m.freePlay
	h.piston, h.byPusher = x, 1
	if m.freePlay != 0 {
		h.piston, h.byPusher = ramp(x, pistonRounding), rampSlope(x, pistonRounding)
	}
	v1, v2 := y[m.circuits[0].volume], y[m.circuits[1].volume]
	if m.floater == nowhere {
		h.pressure[0], h.slope[0] = compressed((m.area*h.piston-v1-v2)/masterCompliance, 1/masterCompliance)
		h.pressure[1], h.slope[1] = h.pressure[0], h.slope[0]
		h.bump, h.bumpSlope = bump(h.piston - m.stroke)
		return h
	}
	f := y[m.floater]
	const half = masterCompliance / 2
	h.pressure[0], h.slope[0] = compressed((m.area*(h.piston-f)-v1)/half, 1/half)
	h.pressure[1], h.slope[1] = compressed((m.area*f-v2)/half, 1/half)
	h.bump, h.bumpSlope = bump(h.piston - f - m.stroke/2)
	h.end, h.endSlope = bump(f - m.stroke/2)
	return h
}

// compressed limits a pressure to what the seals bear below ambient.
func compressed(p, slope float64) (float64, float64) {
	return cavitation + ramp(p-cavitation, cavitationRound), slope * rampSlope(p-cavitation, cavitationRound)
}

func bump(z float64) (force, slope float64) {
	return contactStiffness * ramp(z, bumpRounding), contactStiffness * rampSlope(z, bumpRounding)
}

func (m *master) read(_ float64, y, sig []float64) {
	h := m.at(y)
	sig[m.pressure[0]], sig[m.pressure[1]] = h.pressure[0], h.pressure[1]
	sig[m.push] = h.pressure[0]*m.area + h.bump + m.spring + m.rate*h.piston
	if m.floater != nowhere {
		f := y[m.floater]
		sig[m.drive] = (h.pressure[0]-h.pressure[1])*m.area + h.bump - h.end - floaterSpring*(2*f-h.piston)
	}
}

func (m *master) depends() []dependence {
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

func (m *master) slopes(_ float64, y, _, d []float64) {
	h := m.at(y)
	a, s1, s2 := m.area, h.slope[0], h.slope[1]
	if m.floater == nowhere {
		d[0], d[1], d[2] = s1*a*h.byPusher, -s1, -s1
		d[3], d[4], d[5] = d[0], d[1], d[2]
		d[6], d[7], d[8] = (s1*a*a+h.bumpSlope+m.rate)*h.byPusher, -s1*a, -s1*a
		return
	}
	d[0], d[1], d[2], d[3], d[4] = s1*a*h.byPusher, -s1*a, -s1, s2*a, -s2
	d[5], d[6], d[7] = (s1*a*a+h.bumpSlope+m.rate)*h.byPusher, -s1*a*a-h.bumpSlope, -s1*a
	d[8] = (s1*a*a + h.bumpSlope + floaterSpring) * h.byPusher
	d[9] = -(s1+s2)*a*a - h.bumpSlope - h.endSlope - 2*floaterSpring
	d[10], d[11] = -s1*a, s2*a
}

// boreArea is the area of a piston of the given bore.
func boreArea(bore float64) float64 { return math.Pi / 4 * bore * bore }
