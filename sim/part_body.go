package sim

// body is something that moves: a travel in m and a speed in m/s, as states and as
// signals.
type body struct {
	travel, speed stateSlot
	x, v          signalSlot
}

// newBody hands out the slots, with the sizes at which errors matter in m and m/s. That
// of a speed is best wide: else the speed decides most of the steps, and nobody reads
// it to four digits.
func (n *network) newBody(name string, travel, speed float64) *body {
	b := &body{travel: n.state(name+" travel", travel), speed: n.state(name+" speed", speed)}
	b.x, b.v = n.value(b.travel), n.value(b.speed)
	n.flow(b.travel, 1, b.v)
	return b
}

// heading is the store of a body's direction, from -1 to 1, as dry friction sees it:
// rounded around rest.
type heading struct {
	body   *body
	signal signalSlot
}

func (n *network) newHeading(b *body) *heading {
	h := &heading{b, n.signal()}
	n.place(h)
	return h
}

func (h *heading) read(_ float64, y []float64, sig *values) {
	sig[h.signal] = sign(y[h.body.speed], frictionSpeed)
}
func (h *heading) depends() []dependence { return []dependence{{h.signal, h.body.speed}} }
func (h *heading) slopes(_ float64, y []float64, _ *values, d []float64) {
	d[0] = signSlope(y[h.body.speed], frictionSpeed)
}
