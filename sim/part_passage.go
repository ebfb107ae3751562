package sim

import "kneepoint/internal/physics"

// An end is one side of a passage: what it sees and what it fills.
type end struct {
	p, t         signalSlot
	choked       signalSlot // follows from p and t
	mass, energy stateSlot
}

func (g *gas) end() end { return end{g.p, g.t, g.choked, g.mass, g.energy} }

// still is an end of constant pressure and temperature.
func (n *network) still(pressure, temperature float64) end {
	return end{n.constant(pressure), n.constant(temperature),
		n.constant(physics.ChokedFlow(1, pressure, temperature)), nowhere, nowhere}
}

// A conductance is the sonic conductance of a passage in m³/(s Pa) as a
// function of signals, with its partial derivatives.
type conductance interface {
	value(sig *values) float64
	signals() []signalSlot
	// slopes writes the derivatives and returns the value.
	slopes(sig *values, d []float64) float64
}

// passage lets air flow between two ends and carries its enthalpy along. Its
// outputs are mass and enthalpy flow from a to b.
type passage struct {
	a, b end
	c    conductance
	dc   []float64
	// always is the conductance of an opening that never changes, where it is one.
	always float64
	fixed  bool
}

func newPassage(a, b end, c conductance) *passage {
	l := &passage{a: a, b: b, c: c, dc: make([]float64, len(c.signals()))}
	if f, is := c.(fixed); is {
		l.always, l.fixed = float64(f), true
	}
	return l
}

func (l *passage) conductance(sig *values) float64 {
	if l.fixed {
		return l.always
	}
	return l.c.value(sig)
}

func (l *passage) act(sig *values, out *outputs) { l.through(l.conductance(sig), sig, out) }

// through is act with the conductance that the passage has at present.
func (l *passage) through(c float64, sig *values, out *outputs) {
	if c == 0 {
		out[0], out[1] = 0, 0
		return
	}
	pa, pb := sig[l.a.p], sig[l.b.p]
	from, t := sig[l.a.choked], sig[l.a.t]
	if pa < pb {
		c, from, t, pa, pb = -c, sig[l.b.choked], sig[l.b.t], pb, pa
	}
	m := c * from * physics.FlowShare(pa, pb)
	out[0], out[1] = m, m*physics.HeatAtPressure*t
}

func (l *passage) targets() [][]target {
	return [][]target{
		{{l.a.mass, -1}, {l.b.mass, 1}},
		{{l.a.energy, -1}, {l.b.energy, 1}},
	}
}

func (l *passage) couples() []coupling {
	var c []coupling
	for out := range 2 {
		c = append(c, coupling{out, l.a.p}, coupling{out, l.b.p}, coupling{out, l.a.t}, coupling{out, l.b.t})
		for _, s := range l.c.signals() {
			c = append(c, coupling{out, s})
		}
	}
	return c
}

func (l *passage) slopes(sig *values, d []float64) {
	c := l.always
	if !l.fixed {
		c = l.c.slopes(sig, l.dc)
		if c == 0 && flat(l.dc) {
			clear(d)
			return
		}
	}
	// The flow is linear in the conductance, so that one at a conductance of 1
	// gives the slopes by the area even where the passage is shut.
	up, down, sign := &l.a, &l.b, 1.0
	if sig[l.a.p] < sig[l.b.p] {
		up, down, sign = &l.b, &l.a, -1
	}
	t := sig[up.t]
	m, byUp, byDown, byT := physics.FlowSlopes(sig[up.p], t, sig[up.choked], sig[down.p])
	h := physics.HeatAtPressure * t
	size := sign * c
	byUp, byDown, byT = size*byUp, size*byDown, size*byT
	heat := physics.HeatAtPressure*size*m + h*byT

	n := 4 + len(l.dc)
	flow, enthalpy := d[:n], d[n:2*n]
	if up == &l.a {
		flow[0], flow[1], flow[2], flow[3] = byUp, byDown, byT, 0
		enthalpy[2], enthalpy[3] = heat, 0
	} else {
		flow[0], flow[1], flow[2], flow[3] = byDown, byUp, 0, byT
		enthalpy[2], enthalpy[3] = 0, heat
	}
	enthalpy[0], enthalpy[1] = h*flow[0], h*flow[1]
	for i, s := range l.dc {
		flow[4+i] = sign * s * m
		enthalpy[4+i] = h * flow[4+i]
	}
}

// flat says that a conductance does not move with any of its signals.
func flat(dc []float64) bool {
	for _, s := range dc {
		if s != 0 {
			return false
		}
	}
	return true
}

// fixed is the conductance of an opening that never changes.
type fixed float64

func opening(area float64) fixed { return fixed(area * physics.NozzleConductance) }

func (f fixed) value(*values) float64                 { return float64(f) }
func (f fixed) signals() []signalSlot                 { return nil }
func (f fixed) slopes(_ *values, _ []float64) float64 { return float64(f) }
