package sim

// Mass and damping of the hub, and the speed at which its friction is fully
// there (estimates).
const (
	hubMass       = 1.8   // kg
	hubDamping    = 200.0 // N s/m
	frictionSpeed = 1e-3  // m/s
)

// hubSuspension is what holds the hub: return spring, damping and the
// stops at both ends of its stroke.
type hubSuspension struct {
	hub          *body
	spring, rate float64
	stroke       float64
}

func (l *hubSuspension) act(sig *values, out *outputs) {
	x, v := sig[l.hub.x], sig[l.hub.v]
	f := -l.spring - l.rate*x - hubDamping*v
	if touches(-x) {
		back, _, _ := contact(-x, -v)
		f += back
	}
	if z := x - l.stroke; touches(z) {
		end, _, _ := contact(z, v)
		f -= end
	}
	out[0] = f
}

func (l *hubSuspension) targets() [][]target { return [][]target{{{l.hub.speed, 1 / hubMass}}} }
func (l *hubSuspension) couples() []coupling {
	return []coupling{{0, l.hub.x}, {0, l.hub.v}}
}
func (l *hubSuspension) slopes(sig *values, d []float64) {
	x, v := sig[l.hub.x], sig[l.hub.v]
	_, backX, backV := contact(-x, -v)
	_, endX, endV := contact(x-l.stroke, v)
	d[0] = -backX - endX - l.rate
	d[1] = -backV - endV - hubDamping
}
