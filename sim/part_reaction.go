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
	share        float64 // of the output that the disc hands back: 1 over the boost ratio
	jumpIn       float64
	cutIn        float64
	friction     float64 // of the master cylinder
}

// meet returns the plunger's lead over the hub and its rate, how far the hub has
// taken up the piston's load, from 0 to 1 in u, and that load in N.
func (l *reaction) meet(sig *values) (lead, rate, u, load float64) {
	x := sig[l.hub.x]
	lead = sig[l.plunger.x] - x
	rate = sig[l.plunger.v] - sig[l.hub.v]
	u = (x - l.master.freePlay) * (1 / engageTravel)
	load = sig[l.master.push] + (l.ambient-sig[l.front.p])*l.master.area + l.friction*sig[l.heading.signal]
	return lead, rate, u, load
}

// squeeze is the disc's force on the plunger before its corner is rounded.
func (l *reaction) squeeze(output, lead float64) float64 {
	return (output-l.jumpIn)*l.share + discRate*(lead-leadAtLap)
}

func (l *reaction) act(sig *values, out *outputs) {
	lead, rate, u, load := l.meet(sig)
	output := step(u) * load
	toPlunger := ramp(l.squeeze(output, lead), discRounding) +
		l.cutIn + preloadRate*(lead-leadAtRest) + leadDamping*rate
	// Nothing of the two is there but at the ends of the lead.
	if z := lead - leadAtBottom; touches(z) {
		solid, _, _ := contact(z, rate)
		toPlunger += solid
	}
	if z := leadAtRest - lead; touches(z) {
		back, _, _ := contact(z, -rate)
		toPlunger -= back
	}
	out[0] = toPlunger - output
	out[1] = -toPlunger
	out[2] = output
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

func (l *reaction) slopes(sig *values, d []float64) {
	lead, rate, u, load := l.meet(sig)
	engaged := step(u)
	outputByX := stepSlope(u) * (1 / engageTravel) * load
	outputByHeading := engaged * l.friction
	outputByP := -engaged * l.master.area

	k := rampSlope(l.squeeze(engaged*load, lead), discRounding)
	byOutput := k * l.share
	_, solidByZ, solidByV := contact(lead-leadAtBottom, rate)
	_, backByZ, backByV := contact(leadAtRest-lead, -rate)
	byLead := k*discRate + preloadRate + solidByZ + backByZ
	byRate := leadDamping + solidByV + backByV

	through := 1 - byOutput // what of the output the hub bears
	d[0] = -through*outputByX - byLead
	d[1] = -byRate
	d[2] = byLead
	d[3] = byRate
	d[4] = -through * outputByP
	d[5] = -through * engaged
	d[6] = -through * outputByHeading
	d[7] = -byOutput*outputByX + byLead
	d[8] = byRate
	d[9] = -byLead
	d[10] = -byRate
	d[11] = -byOutput * outputByP
	d[12] = -byOutput * engaged
	d[13] = -byOutput * outputByHeading
}
