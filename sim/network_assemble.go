package sim

import (
	"kneepoint/internal/physics"
	"kneepoint/sim/si"
)

// Wall heat conductances in W/K and openings in m² that no key sets (estimates).
const (
	frontWalls   = 2.0
	rearWalls    = 1.5
	tankWalls    = 1.0
	hoseWalls    = 0.2
	tankFitting  = 60e-6
	seriesOfTwo  = 1.4142135623730951 // two equal openings in a row pass 1/√2 of one
	leastDepth   = 4e-3               // m that the front chamber keeps at the end of the stroke
	airWhenWorst = 10e-6              // m³ of air in a circuit at severity 1
)

// plant is the assembled car: the network, and where its parts are.
type plant struct {
	net *network
	in  inputs

	driver *driver
	rod    *body // input rod: the plunger, or the piston of a manual pedal

	hub                *body
	front, rear        *gas
	hose, tank         *gas
	bench              *bench
	benchPressure      float64 // while it is on, with a fault of it worked in
	engine             *engine
	manifold           *manifold
	master             *master
	circuits           [2]*circuit
	air, vacuum        *seat
	output             outputSlot
	airFlow, innerFlow outputSlot
	checkFlow          outputSlot
	hoseFlow           outputSlot
	pumpFlow           outputSlot
	pumped             *gas
	inputRatio         float64
	pedalRatio         float64
	car                Car
	ambient            si.Pressure
}

// A part puts its stores and links into a plant in which those of the car are in place.
type part func(*plant)

// assemble connects the parts of a car. It reads like a wiring diagram: stores
// first, then the links between them.
func assemble(c *Config, more ...part) (*plant, error) {
	f := effect(c)
	c = &f.config
	n := &network{}
	p := &plant{net: n, inputRatio: float64(c.Pedal.Ratio) * float64(c.Pedal.Efficiency),
		pedalRatio: float64(c.Pedal.Ratio), car: c.Car, ambient: c.Ambient.Pressure}
	// A circuit that holds no pressure keeps none either.
	if c.Front.Lost {
		p.car.ResidualFront = 0
	}
	if c.Rear.Lost {
		p.car.ResidualRear = 0
	}
	ambient, warm := float64(c.Ambient.Pressure), float64(c.Ambient.Temperature)
	outside := n.still(ambient, warm)
	rodMass := inputMass(float64(c.Pedal.Ratio))

	p.driver = n.newDriver(&p.in)
	p.rod = n.newBody("input rod", 1e-3, 3)
	n.lever(p.driver, p.rod, rodMass, p.inputRatio)

	pusher := p.rod
	if c.Booster.Kind != BoosterNone {
		p.hub = n.newBody("hub", 3e-3, 10)
		pusher = p.hub
	}
	p.hydraulics(c, f, pusher)
	n.connect(&seeking{&p.in, p.driver, p.circuits[0], p.circuits[1], &p.car})

	if c.Booster.Kind == BoosterNone {
		first := n.connect(&directRod{p.rod, n.newHeading(p.rod), p.master, rodMass, float64(c.Master.Friction)})
		p.output = outputSlot{first, 1}
	} else {
		p.booster(c, f, outside, rodMass)
		p.supply(c, f, outside)
	}
	for _, fit := range more {
		fit(p)
	}
	return p, n.finish()
}

// hydraulics places the master cylinder and the circuits behind it.
func (p *plant) hydraulics(c *Config, f *effects, pusher *body) {
	n := p.net
	ambient := float64(c.Ambient.Pressure)
	p.circuits = [2]*circuit{
		n.newCircuit("front", c.Car.FrontBrake.besideResidual(c.Front, c.Car.ResidualFront), f.air, ambient),
		n.newCircuit("rear", c.Car.RearBrake.besideResidual(c.Rear, c.Car.ResidualRear), 0, ambient),
	}
	p.master = &master{
		pusher:   pusher,
		floater:  nowhere,
		seeped:   nowhere,
		circuits: p.circuits,
		area:     float64(c.Master.Area()),
		stroke:   float64(c.Master.Stroke),
		spring:   float64(c.Master.Spring),
		rate:     float64(c.Master.SpringRate),
		pressure: [2]signalSlot{n.signal(), n.signal()},
		push:     n.signal(),
		drive:    n.signal(),
	}
	if c.Booster.Kind != BoosterNone {
		p.master.freePlay = float64(c.Booster.FreePlay)
	}
	if c.Master.Circuits == MasterDual {
		p.master.floater = n.state("floating piston travel", 1e-3)
		// Its inertia does not matter against its seals' drag.
		n.flow(p.master.floater, 1/floaterDrag, p.master.drive)
	}
	for i, circuit := range p.circuits {
		p.master.trapped[i] = circuit.holds(f.trapped)
	}
	if f.seep > 0 {
		p.master.seeped = n.state("seeped volume", 1e-6)
		n.connect(&seep{p.master.pressure[0], n.value(p.master.seeped), p.master.seeped, f.seep})
	}
	n.place(p.master)
	for i, circuit := range p.circuits {
		n.pipe(p.master.pressure[i], circuit, f.pipes[i])
	}
}

// booster places the chambers with the hub and the valve between them.
func (p *plant) booster(c *Config, f *effects, outside end, rodMass float64) {
	n, b := p.net, &c.Booster
	ambient, warm := float64(c.Ambient.Pressure), float64(c.Ambient.Temperature)
	area, tail := float64(b.Area), float64(b.TailArea)
	p.front = n.newGas("front chamber", float64(b.FrontVolume), -area, ambient, warm, p.hub.travel)
	p.rear = n.newGas("working chamber", float64(b.RearVolume), area-tail, ambient, warm, p.hub.travel)
	n.walls(p.front, frontWalls, outside.t)
	n.walls(p.rear, rearWalls, outside.t)

	n.connect(
		&diaphragm{p.front, p.rear, p.hub.v, p.hub.speed, area, tail, ambient, hubMass},
		&hubSuspension{
			hub: p.hub, spring: float64(b.Spring), rate: float64(b.SpringRate), stroke: usableStroke(b),
		},
	)
	heading := n.newHeading(p.hub)
	n.flow(p.hub.speed, -float64(b.Friction)/hubMass, heading.signal)
	disc := n.connect(&reaction{
		hub: p.hub, plunger: p.rod, heading: heading, front: p.front, master: p.master, ambient: ambient,
		plungerMass: rodMass, share: 1 / float64(b.Ratio), jumpIn: float64(b.JumpIn),
		cutIn: float64(b.CutIn), friction: float64(c.Master.Friction),
	})
	p.output = outputSlot{disc, 2}

	p.air = airSeat(p.rod.x, p.hub.x, float64(b.AirValve), float64(b.Filter))
	p.vacuum = vacuumSeat(p.rod.x, p.hub.x, float64(b.VacuumValve))
	p.airFlow = outputSlot{n.connect(newPassage(outside, p.rear.end(), p.air)), 0}
	p.innerFlow = outputSlot{n.connect(newPassage(p.rear.end(), p.front.end(), p.vacuum)), 0}
}

// usableStroke is the hub's travel, which the shell ends early when the front
// chamber is too small for the stroke. What is left beyond is more than the hardest
// foot bends the stop.
func usableStroke(b *Booster) float64 {
	depth := float64(b.FrontVolume) / float64(b.Area)
	return min(float64(b.Stroke), max(depth-leastDepth, depth/2))
}

// supply places everything between the source and the front chamber.
func (p *plant) supply(c *Config, f *effects, outside end) {
	n := p.net
	ambient, warm := float64(c.Ambient.Pressure), float64(c.Ambient.Temperature)
	area := float64(c.Hose.Area) * seriesOfTwo // of the hose, and of the check valve

	var from end
	if c.Source.Kind == SourceEngine {
		p.engine = newEngine(&c.Source, &c.Ambient)
		p.manifold = n.newManifold(&p.in, c.Source.ManifoldVolume, ambient)
		from = p.manifold.end()
		n.connect(
			&intake{p.engine, p.manifold},
			newPassage(outside, from, fixed(p.engine.idlePath)),
			newPassage(outside, from, throttled(p.manifold.throttle)),
		)
	} else {
		p.bench = &bench{&p.in, n.signal(), n.signal(), physics.ChokedFlow(1, 1, warm)}
		p.benchPressure = ambient - float64(c.Source.Vacuum)
		n.place(p.bench)
		from = end{p.bench.p, outside.t, p.bench.choked, nowhere, nowhere}
	}

	p.hose = n.newGas("hose", float64(c.Hose.Volume), 0, ambient, warm, nowhere)
	n.walls(p.hose, hoseWalls, outside.t)
	p.hoseFlow = outputSlot{n.connect(newPassage(p.hose.end(), from, opening(area))), 0}

	inside, beyond := p.front, p.hose
	if c.Reservoir.Volume > 0 {
		p.tank = n.newGas("reservoir", float64(c.Reservoir.Volume), 0, ambient, warm, nowhere)
		n.walls(p.tank, tankWalls, outside.t)
		switch {
		case c.Reservoir.Place == PlaceBoosterSide:
			n.connect(newPassage(p.front.end(), p.tank.end(), opening(tankFitting)))
			inside = p.tank
		case c.Reservoir.InletValve:
			n.connect(newPassage(p.tank.end(), p.hose.end(), newCheckValve(p.tank.p, p.hose.p, area)))
			beyond = p.tank
		default:
			n.connect(newPassage(p.tank.end(), p.hose.end(), opening(tankFitting)))
			beyond = p.tank
		}
	}
	p.checkFlow = outputSlot{n.connect(newPassage(inside.end(), beyond.end(), newCheckValve(inside.p, beyond.p, area*f.checkOpen))), 0}
	if c.Pump.FreeFlow > 0 {
		p.pumped = p.front
		if p.tank != nil {
			p.pumped = p.tank
		}
		p.pumpFlow = outputSlot{n.connect(&pumpLink{&p.in, p.pumped, float64(c.Pump.FreeFlow), ambient}), 0}
	}

	// Last, so that what a sound car has stands in the same places in a leaking one.
	leak := func(a, b end, area si.Area) {
		if area > 0 {
			n.connect(newPassage(a, b, opening(float64(area))))
		}
	}
	leak(outside, p.front.end(), f.frontShell)
	leak(outside, p.rear.end(), f.airSeat)
	leak(p.rear.end(), p.front.end(), f.diaphragm)
	leak(inside.end(), beyond.end(), f.checkValve)
	leak(outside, p.hose.end(), f.hose)
}

// An outputSlot is one output of a link, to be observed.
type outputSlot struct{ link, output int }

func (n *network) output(s outputSlot) float64 { return n.outs[s.link][s.output] }
