package sim

// Reaction disc, springs and damping between plunger and hub (estimates).
const (
	discRate     = 4e5   // N/m of the plunger's lead
	discRounding = 20.0  // N
	preloadRate  = 3e3   // N/m
	leadDamping  = 500.0 // N s/m
)

// reaction is where hub, plunger and output meet: the disc carries a share of
// the output back to the plunger once the jump-in is passed, a spring holds the
// plunger back, and at either end of its lead it bears on the hub.
// Outputs: force on the hub, force on the plunger, output force (observed only).
type reaction struct {
	hub, plunger *body
	heading      *heading // of the hub
	front        *gas
	master       *master
	ambient      float64
	plungerMass  float64
	ratio        float64
	jumpIn       float64
	cutIn        float64
	friction     float64 // of the master cylinder
}

// meeting is how hub, plunger and output stand to each other.
type meeting struct {
	v, lead, rate float64 // hub's speed, plunger's lead over the hub and its rate
	u, engaged    float64 // how far the hub has taken up the piston's load, from 0 to 1
	load          float64 // N, of the piston once it is taken up
	squeeze       float64 // N, on the plunger by the disc, before its corner is rounded
	output        float64
}

func (l *reaction) meet(sig []float64) (m meeting) {
	x := sig[l.hub.x]
	m.v = sig[l.hub.v]
	m.lead = sig[l.plunger.x] - x
	m.rate = sig[l.plunger.v] - m.v
	m.u = (x - l.master.freePlay) * (1 / engageTravel)
	m.engaged = step(m.u)
	m.load = sig[l.master.push] + (l.ambient-sig[l.front.p])*l.master.area + l.friction*sig[l.heading.signal]
	m.output = m.engaged * m.load
	m.squeeze = (m.output-l.jumpIn)/l.ratio + discRate*(m.lead-leadAtLap)
	return m
}

func (l *reaction) act(sig, out []float64) {
	m := l.meet(sig)
	solid, _, _ := contact(m.lead-leadAtBottom, m.rate)
	back, _, _ := contact(leadAtRest-m.lead, -m.rate)
	toPlunger := ramp(m.squeeze, discRounding) +
		l.cutIn + preloadRate*(m.lead-leadAtRest) + leadDamping*m.rate + solid - back
	out[0] = toPlunger - m.output
	out[1] = -toPlunger
	out[2] = m.output
}

func (l *reaction) targets() [][]target {
	return [][]target{{{l.hub.speed, 1 / hubMass}}, {{l.plunger.speed, 1 / l.plungerMass}}, {}}
}

func (l *reaction) couples() []coupling {
	var c []coupling
	for out := range 2 {
		c = append(c,
			coupling{out, l.hub.x}, coupling{out, l.hub.v}, coupling{out, l.plunger.x}, coupling{out, l.plunger.v},
			coupling{out, l.front.p}, coupling{out, l.master.push}, coupling{out, l.heading.signal})
	}
	return c
}

func (l *reaction) slopes(sig, d []float64) {
	m := l.meet(sig)
	outputByX := stepSlope(m.u) * (1 / engageTravel) * m.load
	outputByHeading := m.engaged * l.friction
	outputByP := -m.engaged * l.master.area

	k := rampSlope(m.squeeze, discRounding)
	byOutput := k / l.ratio
	_, solidByZ, solidByV := contact(m.lead-leadAtBottom, m.rate)
	_, backByZ, backByV := contact(leadAtRest-m.lead, -m.rate)
	byLead := k*discRate + preloadRate + solidByZ + backByZ
	byRate := leadDamping + solidByV + backByV

	through := 1 - byOutput // what of the output the hub bears
	d[0] = -through*outputByX - byLead
	d[1] = -byRate
	d[2] = byLead
	d[3] = byRate
	d[4] = -through * outputByP
	d[5] = -through * m.engaged
	d[6] = -through * outputByHeading
	d[7] = -byOutput*outputByX + byLead
	d[8] = byRate
	d[9] = -byLead
	d[10] = -byRate
	d[11] = -byOutput * outputByP
	d[12] = -byOutput * m.engaged
	d[13] = -byOutput * outputByHeading
}
