package sim

import "kneepoint/internal/physics"

// gas is a store of air: mass and internal energy in a volume that may change
// with the hub's travel. With the energy as its state, mass and energy are sums
// of what flows, and the integrator keeps such sums to rounding.
type gas struct {
	mass, energy stateSlot
	p, t         signalSlot
	choked       signalSlot // choked flow out of it through a conductance of 1
	volume       float64
	perVolume    float64 // 1/volume
	// byTravel is the volume for each metre of hub travel, on the state hub.
	byTravel float64
	hub      stateSlot
}

// newGas hands out the slots of a gas store; hub is nowhere for fixed walls.
func (n *network) newGas(name string, volume, byTravel, ambient, temperature float64, hub stateSlot) *gas {
	g := &gas{
		mass:      n.state(name+" mass", 0.001*ambient*volume/(physics.GasConstant*temperature)),
		energy:    n.state(name+" energy", 0.001*ambient*volume/(physics.Gamma-1)),
		p:         n.signal(),
		t:         n.signal(),
		choked:    n.signal(),
		volume:    volume,
		perVolume: 1 / volume,
		byTravel:  byTravel,
		hub:       hub,
	}
	n.place(g)
	n.gases = append(n.gases, g)
	return g
}

// fill sets the states to a pressure and a temperature with the hub at rest.
func (g *gas) fill(y []float64, pressure, temperature float64) {
	y[g.mass] = pressure * g.volume / (physics.GasConstant * temperature)
	y[g.energy] = pressure * g.volume / (physics.Gamma - 1)
}

func (g *gas) space(y []float64) float64 {
	if g.hub == nowhere {
		return g.volume
	}
	return g.volume + g.byTravel*y[g.hub]
}

func (g *gas) pressure(y []float64) float64 {
	return (physics.Gamma - 1) * y[g.energy] / g.space(y)
}

func (g *gas) read(_ float64, y []float64, sig *values) {
	mass, energy, perVolume := y[g.mass], y[g.energy], g.perVolume
	if g.hub != nowhere {
		perVolume = 1 / (g.volume + g.byTravel*y[g.hub])
	}
	sig[g.p] = (physics.Gamma - 1) * energy * perVolume
	sig[g.t] = energy / (mass * physics.HeatAtVolume)
	sig[g.choked] = physics.ChokedFlowOf(mass, energy, perVolume)
}

// depends leaves out the choked flow: whoever reads it knows how it follows from
// pressure and temperature.
func (g *gas) depends() []dependence {
	d := []dependence{{g.p, g.energy}, {g.t, g.energy}, {g.t, g.mass}}
	if g.hub != nowhere {
		d = append(d, dependence{g.p, g.hub})
	}
	return d
}

func (g *gas) slopes(_ float64, y []float64, sig *values, d []float64) {
	v := g.space(y)
	d[0] = (physics.Gamma - 1) / v
	d[1] = sig[g.t] / y[g.energy]
	d[2] = -sig[g.t] / y[g.mass]
	if g.hub != nowhere {
		d[3] = -sig[g.p] * g.byTravel / v
	}
}
