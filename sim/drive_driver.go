package sim

import "math"

var never = math.Inf(1)

// driver is the force at the pedal: the planned one, plus a state that moves
// while the driver seeks a deceleration.
type driver struct {
	in     *inputs
	sought stateSlot
	force  signalSlot
}

func (n *network) newDriver(in *inputs) *driver {
	d := &driver{in: in, sought: n.state("sought pedal force", 10), force: n.signal()}
	n.place(d)
	return d
}

func (d *driver) read(t float64, y []float64, sig *values) {
	sig[d.force] = d.in.pedal.at(t) + y[d.sought]
}
func (d *driver) depends() []dependence {
	return []dependence{{d.force, inTime}, {d.force, d.sought}}
}
func (d *driver) slopes(_ float64, _ []float64, _ *values, s []float64) {
	s[0], s[1] = d.in.pedal.slope, 1
}

// A driver who seeks moves the foot in proportion to the force it already has,
// plus a little to begin with (estimates): the law that keeps as steady on an
// easy pedal as on a hard one.
const (
	seekStart = 20.0 // N
	seekEdge  = 0.02 // share of the limit over which the force stops rising
)

// seeking is the link that moves the sought force.
type seeking struct {
	in     *inputs
	driver *driver
	front  *circuit
	rear   *circuit
	car    *Car
}

func (l *seeking) act(sig *values, out *outputs) { out[0], _, _, _ = l.rate(sig) }

func (l *seeking) rate(sig *values) (r, byForce, byFront, byRear float64) {
	s := l.in.seek
	if s == nil {
		return 0, 0, 0, 0
	}
	f := sig[l.driver.force]
	a, aByFront, aByRear := l.car.deceleration(sig[l.front.p], sig[l.rear.p], lockRounding)
	miss := (s.deceleration - a) / s.deceleration
	gain := (seekStart + f) / s.patience
	edge, edgeByF := 1.0, 0.0
	if miss > 0 {
		u := (s.limit - f) / (seekEdge * s.limit)
		edge, edgeByF = step(u), -stepSlope(u)/(seekEdge*s.limit)
	}
	k := -gain * edge / s.deceleration
	return gain * miss * edge, miss*edge/s.patience + gain*miss*edgeByF, k * aByFront, k * aByRear
}

func (l *seeking) targets() [][]target { return [][]target{{{l.driver.sought, 1}}} }
func (l *seeking) couples() []coupling {
	return []coupling{{0, l.driver.force}, {0, l.front.p}, {0, l.rear.p}}
}
func (l *seeking) slopes(sig *values, d []float64) { _, d[0], d[1], d[2] = l.rate(sig) }
