package sim

import (
	"kneepoint/internal/physics"
	"kneepoint/sim/si"
)

// bench is a source held at a pressure that only the schedule changes.
type bench struct {
	in        *inputs
	p, choked signalSlot
	byP       float64 // choked flow for each Pa
}

func (b *bench) read(t float64, _ []float64, sig *values) {
	p := b.in.source.at(t)
	sig[b.p], sig[b.choked] = p, b.byP*p
}
func (b *bench) depends() []dependence                                 { return []dependence{{b.p, inTime}} }
func (b *bench) slopes(_ float64, _ []float64, _ *values, d []float64) { d[0] = b.in.source.slope }

// SourceVacuum is the vacuum that the source holds at idle where the car is: an
// engine measured elsewhere keeps its absolute pressure.
func (c *Config) SourceVacuum() si.Vacuum {
	return max(0, c.Source.Vacuum-si.Vacuum(c.Source.MeasuredPressure-c.Ambient.Pressure))
}

// The intake of an engine (estimates).
const (
	chargeSlope     = 0.90  // share of the manifold pressure that is trapped
	manifoldTemp    = 325.0 // K
	idleCharge      = 19e3  // Pa that an idling engine needs trapped
	idleChargeShare = 0.6   // at most of what the manifold offers
	cruiseCharge    = 38e3  // Pa on a level road
	snapVacuum      = 2 * inHg
	leastDrop       = 200.0 // Pa across the idle path, so that it has a size
	chargeRounding  = 200.0 // Pa
)

// engine is what an intake draws, fixed by the vacuum measured at idle: the
// clearance volume and the valve overlap give back exhaust before anything is
// drawn, and the overlap has less time for that at speed.
type engine struct {
	displacement float64 // m³
	idleSpeed    float64 // 1/s
	overrunSpeed float64
	clearance    float64 // Pa, what the clearance volume gives back
	overlap      float64 // Pa, what the overlap gives back at idle speed
	idlePressure float64 // Pa
	ambient      float64
	temperature  float64
	idlePath     float64 // m³/(s Pa)
}

func newEngine(s *Source, a *Ambient) *engine {
	e := &engine{
		displacement: float64(s.Displacement),
		idleSpeed:    float64(s.IdleSpeed),
		overrunSpeed: float64(s.OverrunSpeed),
		ambient:      float64(a.Pressure),
		temperature:  float64(a.Temperature),
	}
	// The engine needs the same charge at any altitude: what it keeps is the
	// absolute pressure, and the vacuum falls with the ambient's.
	e.idlePressure = min(float64(s.MeasuredPressure)-float64(s.Vacuum), e.ambient-leastDrop)
	offered := chargeSlope * e.idlePressure
	charge := min(idleCharge, idleChargeShare*offered)
	back := offered - charge
	e.clearance = min(e.ambient/(1.35*(float64(s.Compression)-1)), back)
	e.overlap = back - e.clearance
	e.idlePath = e.draw(e.idleSpeed, e.idlePressure) / e.unitFlow(e.idlePressure)
	return e
}

// draw is the mass flow into the cylinders at n revolutions a second.
func (e *engine) draw(n, p float64) float64 {
	return e.flowFactor() * ramp(e.charge(n, p), e.idleSpeed*chargeRounding)
}

func (e *engine) flowFactor() float64 {
	return e.displacement / (2 * physics.GasConstant * manifoldTemp)
}

// charge is the trapped pressure times the speed, so that it holds at rest too.
func (e *engine) charge(n, p float64) float64 {
	return n*(chargeSlope*p-e.clearance) - e.overlap*e.idleSpeed
}

// unitFlow is the flow from the air into the manifold through a conductance of 1.
func (e *engine) unitFlow(p float64) float64 {
	return physics.MassFlow(1, e.ambient, e.temperature, p, manifoldTemp)
}

// throttleFor returns the conductance beyond the idle path that gives the
// manifold pressure p at n revolutions a second.
func (e *engine) throttleFor(n, p float64) float64 {
	p = min(p, e.ambient-leastDrop)
	return max(0, e.draw(n, p)/e.unitFlow(p)-e.idlePath)
}

// at returns the speed and the throttle of a state of the engine.
func (e *engine) at(s EngineState) (speed, throttle float64) {
	switch s {
	case EngineOff:
		return 0, 0
	case EngineOverrun:
		return e.overrunSpeed, 0
	case EngineCruise:
		n := e.overrunSpeed
		return n, e.throttleFor(n, (cruiseCharge+e.clearance+e.overlap*e.idleSpeed/n)/chargeSlope)
	case EngineSnap:
		return e.overrunSpeed, e.throttleFor(e.overrunSpeed, e.ambient-float64(snapVacuum))
	}
	return e.idleSpeed, 0
}

// manifoldChoked is the choked flow out of the manifold for each Pa.
var manifoldChoked = physics.ChokedFlow(1, 1, manifoldTemp)

// manifold is the intake as a store of air at one temperature.
type manifold struct {
	in              *inputs
	mass            stateSlot
	volume          float64
	p, t, choked    signalSlot
	speed, throttle signalSlot
}

func (n *network) newManifold(in *inputs, volume si.Volume, ambient float64) *manifold {
	m := &manifold{
		in: in, volume: float64(volume),
		mass: n.state("manifold mass", 0.1*ambient*float64(volume)/(physics.GasConstant*manifoldTemp)),
		p:    n.signal(), t: n.constant(manifoldTemp), choked: n.signal(), speed: n.signal(), throttle: n.signal(),
	}
	n.place(m)
	return m
}

func (m *manifold) byMass() float64 { return physics.GasConstant * manifoldTemp / m.volume }
func (m *manifold) end() end        { return end{m.p, m.t, m.choked, m.mass, nowhere} }

func (m *manifold) read(t float64, y []float64, sig *values) {
	p := y[m.mass] * m.byMass()
	sig[m.p], sig[m.choked] = p, manifoldChoked*p
	sig[m.speed] = m.in.speed.at(t)
	sig[m.throttle] = m.in.throttle.at(t)
}

func (m *manifold) depends() []dependence {
	return []dependence{{m.p, m.mass}, {m.speed, inTime}, {m.throttle, inTime}}
}

func (m *manifold) slopes(_ float64, _ []float64, _ *values, d []float64) {
	d[0], d[1], d[2] = m.byMass(), m.in.speed.slope, m.in.throttle.slope
}

// intake is the flow from the manifold into the cylinders.
type intake struct {
	engine   *engine
	manifold *manifold
}

func (l *intake) act(sig *values, out *outputs) {
	out[0] = l.engine.draw(sig[l.manifold.speed], sig[l.manifold.p])
}
func (l *intake) targets() [][]target { return [][]target{{{l.manifold.mass, -1}}} }
func (l *intake) couples() []coupling {
	return []coupling{{0, l.manifold.speed}, {0, l.manifold.p}}
}
func (l *intake) slopes(sig *values, d []float64) {
	e, n, p := l.engine, sig[l.manifold.speed], sig[l.manifold.p]
	k := e.flowFactor() * rampSlope(e.charge(n, p), e.idleSpeed*chargeRounding)
	d[0] = k * (chargeSlope*p - e.clearance)
	d[1] = k * n * chargeSlope
}

// throttled is the conductance that a signal gives.
type throttled signalSlot

func (c throttled) value(sig *values) float64 { return sig[c] }
func (c throttled) signals() []signalSlot     { return []signalSlot{signalSlot(c)} }
func (c throttled) slopes(sig *values, d []float64) float64 {
	d[0] = 1
	return sig[c]
}
