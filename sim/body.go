package sim

// body is a store of motion: a travel in m and a speed in m/s.
type body struct {
	travel, speed stateSlot
	x, v          signalSlot
}

// newBody hands out the slots. The speed's scale is wide: it decides most of the
// steps though nobody reads it to four digits.
func (n *network) newBody(name string) *body {
	b := &body{
		travel: n.state(name+" travel", 1e-3),
		speed:  n.state(name+" speed", 0.1),
		x:      n.signal(),
		v:      n.signal(),
	}
	n.place(b)
	n.connect(&motion{b})
	return b
}

func (b *body) read(_ float64, y, sig []float64) {
	sig[b.x], sig[b.v] = y[b.travel], y[b.speed]
}
func (b *body) depends() []dependence {
	return []dependence{{b.x, b.travel}, {b.v, b.speed}}
}
func (b *body) slopes(_ float64, _, _, d []float64) { d[0], d[1] = 1, 1 }

// motion is the link from a body's speed to its travel.
type motion struct{ body *body }

func (l *motion) act(sig, out []float64) { out[0] = sig[l.body.v] }
func (l *motion) targets() [][]target    { return [][]target{{{l.body.travel, 1}}} }
func (l *motion) couples() []coupling    { return []coupling{{0, l.body.v}} }
func (l *motion) slopes(_, d []float64)  { d[0] = 1 }
