package sim

// walls lets heat flow into a gas from its walls, which stay at the temperature of
// a signal; the conductance is in W/K.
func (n *network) walls(g *gas, conductance float64, temperature signalSlot) {
	n.flow(g.energy, conductance, temperature)
	n.flow(g.energy, -conductance, g.t)
}
