package sim

// body is something that moves: a travel in m and a speed in m/s, as states and as
// signals.
type body struct {
	travel, speed stateSlot
	x, v          signalSlot
}

// newBody hands out the slots. The speed's scale is wide: at a tenth of it the
// speed decides most of the steps, and nobody reads it to four digits.
func (n *network) newBody(name string) *body {
	b := &body{travel: n.state(name+" travel", 1e-3), speed: n.state(name+" speed", 1)}
	b.x, b.v = n.value(b.travel), n.value(b.speed)
	n.flow(b.travel, 1, b.v)
	return b
}
