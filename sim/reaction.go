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
	front        *gas
	master       *master
	ambient      float64
	plungerMass  float64
	ratio        float64
	jumpIn       float64
	cutIn        float64
	friction     float64 // of the master cylinder
}

func (l *reaction) act(sig, out []float64) {
	f := l.forces(sig)
	out[0] = -f.output + f.disc + f.bond
	out[1] = -f.disc - f.bond
	out[2] = f.output
}

type reactionForces struct {
	output, outputByX, outputByV, outputByPush float64
	disc, discByOutput, discByLead             float64
	bond, bondByLead, bondByRate               float64
}

func (l *reaction) forces(sig []float64) (f reactionForces) {
	x, v := sig[l.hub.x], sig[l.hub.v]
	lead := sig[l.plunger.x] - x
	rate := sig[l.plunger.v] - v

	u := (x - l.master.freePlay) / engageTravel
	engaged := step(u)
	load := sig[l.master.push] + (l.ambient-sig[l.front.p])*l.master.area + l.friction*sign(v, frictionSpeed)
	f.output = engaged * load
	f.outputByX = stepSlope(u) / engageTravel * load
	f.outputByV = engaged * l.friction * signSlope(v, frictionSpeed)
	f.outputByPush = engaged

	z := (f.output-l.jumpIn)/l.ratio + discRate*(lead-leadAtLap)
	k := rampSlope(z, discRounding)
	f.disc = ramp(z, discRounding)
	f.discByOutput, f.discByLead = k/l.ratio, k*discRate

	solid, solidByZ, solidByV := contact(lead-leadAtBottom, rate)
	back, backByZ, backByV := contact(leadAtRest-lead, -rate)
	f.bond = l.cutIn + preloadRate*(lead-leadAtRest) + leadDamping*rate + solid - back
	f.bondByLead = preloadRate + solidByZ + backByZ
	f.bondByRate = leadDamping + solidByV + backByV
	return f
}

func (l *reaction) targets() [][]target {
	return [][]target{{{l.hub.speed, 1 / hubMass}}, {{l.plunger.speed, 1 / l.plungerMass}}, {}}
}

func (l *reaction) couples() []coupling {
	var c []coupling
	for out := range 2 {
		c = append(c,
			coupling{out, l.hub.x}, coupling{out, l.hub.v}, coupling{out, l.plunger.x}, coupling{out, l.plunger.v},
			coupling{out, l.front.p}, coupling{out, l.master.push})
	}
	return c
}

func (l *reaction) slopes(sig, d []float64) {
	f := l.forces(sig)
	through := 1 - f.discByOutput // what of the output the hub bears
	outputByP := -f.outputByPush * l.master.area
	d[0] = -through*f.outputByX - f.discByLead - f.bondByLead
	d[1] = -through*f.outputByV - f.bondByRate
	d[2] = f.discByLead + f.bondByLead
	d[3] = f.bondByRate
	d[4] = -through * outputByP
	d[5] = -through * f.outputByPush
	d[6] = -f.discByOutput*f.outputByX + f.discByLead + f.bondByLead
	d[7] = -f.discByOutput*f.outputByV + f.bondByRate
	d[8] = -f.discByLead - f.bondByLead
	d[9] = -f.bondByRate
	d[10] = -f.discByOutput * outputByP
	d[11] = -f.discByOutput * f.outputByPush
}
