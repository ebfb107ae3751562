package sim

// Mass and damping of the input rod with the pedal (estimates).
const (
	rodMass    = 0.15  // kg
	pedalMass  = 0.3   // kg, felt at the rod times the ratio squared
	rodDamping = 100.0 // N s/m
)

func inputMass(ratio float64) float64 { return rodMass + pedalMass*ratio*ratio }

// pedalLink is the lever between the driver's foot and the input rod.
type pedalLink struct {
	driver *driver
	rod    *body
	mass   float64
	ratio  float64 // times the efficiency
}

func (l *pedalLink) act(sig, out []float64) {
	out[0] = sig[l.driver.force]*l.ratio - rodDamping*sig[l.rod.v]
}
func (l *pedalLink) targets() [][]target { return [][]target{{{l.rod.speed, 1 / l.mass}}} }
func (l *pedalLink) couples() []coupling {
	return []coupling{{0, l.driver.force}, {0, l.rod.v}}
}
func (l *pedalLink) slopes(_, d []float64) { d[0], d[1] = l.ratio, -rodDamping }

// directRod is the load on the input rod of a manual pedal, which pushes the
// master cylinder itself. Outputs: force on the rod, output force (observed only).
type directRod struct {
	rod      *body
	master   *master
	mass     float64
	friction float64
}

func (l *directRod) forces(sig []float64) (load, byV, back, backByX, backByV float64) {
	v := sig[l.rod.v]
	load = sig[l.master.push] + l.friction*sign(v, frictionSpeed)
	byV = l.friction * signSlope(v, frictionSpeed)
	back, byZ, byRate := contact(-sig[l.rod.x], -v)
	return load, byV, back, -byZ, -byRate
}

func (l *directRod) act(sig, out []float64) {
	load, _, back, _, _ := l.forces(sig)
	out[0] = back - load
	out[1] = load
}
func (l *directRod) targets() [][]target { return [][]target{{{l.rod.speed, 1 / l.mass}}, {}} }
func (l *directRod) couples() []coupling {
	return []coupling{{0, l.rod.x}, {0, l.rod.v}, {0, l.master.push}}
}
func (l *directRod) slopes(sig, d []float64) {
	_, byV, _, backByX, backByV := l.forces(sig)
	d[0], d[1], d[2] = backByX, backByV-byV, -1
}
