package sim

// Mass and damping of the input rod with the pedal (estimates).
const (
	rodMass    = 0.15  // kg
	pedalMass  = 0.3   // kg, felt at the rod times the ratio squared
	rodDamping = 100.0 // N s/m
)

func inputMass(ratio float64) float64 { return rodMass + pedalMass*ratio*ratio }

// lever lets the driver's foot push the input rod; the ratio is the pedal's times
// its efficiency.
func (n *network) lever(d *driver, rod *body, mass, ratio float64) {
	n.flow(rod.speed, ratio/mass, d.force)
	n.flow(rod.speed, -rodDamping/mass, rod.v)
}

// directRod is the load on the input rod of a manual pedal, which pushes the
// master cylinder itself. Outputs: force on the rod, output force (observed only).
type directRod struct {
	rod      *body
	heading  *heading
	master   *master
	mass     float64
	friction float64
}

func (l *directRod) act(sig *values, out *outputs) {
	load := sig[l.master.push] + l.friction*sig[l.heading.signal]
	back, _, _ := contact(-sig[l.rod.x], -sig[l.rod.v])
	out[0] = back - load
	out[1] = load
}
func (l *directRod) targets() [][]target { return [][]target{{{l.rod.speed, 1 / l.mass}}, {}} }
func (l *directRod) couples() []coupling {
	return []coupling{{0, l.rod.x}, {0, l.rod.v}, {0, l.heading.signal}, {0, l.master.push}}
}
func (l *directRod) slopes(sig *values, d []float64) {
	_, byZ, byRate := contact(-sig[l.rod.x], -sig[l.rod.v])
	d[0], d[1], d[2], d[3] = -byZ, -byRate, -l.friction, -1
}
