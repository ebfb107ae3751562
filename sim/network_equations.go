//go:build sundials

package sim

import (
	"errors"
	"fmt"

	"kneepoint/internal/physics"
)

// Equations are the numbers of a model's right-hand side, for a copy of it in
// another language: SI units, places in the state vector, -1 for what is not there.
// The layout is that of the struct booster in internal/bench/cvode/native/booster.h.
type Equations struct {
	Size, Sought, Rod, RodSpeed, Hub, HubSpeed, Floater, Manifold int32

	Ambient, Warm                                                            float64
	GasConstant, Gamma, HeatAtVolume, HeatAtPressure                         float64
	ReferenceDensity, ReferenceTemperature, CriticalRatio, Laminar, LamScale float64

	// Nodes: the outside, the source, the front and the working chamber, other gases.
	Nodes, PassageCount                    int32
	Gases                                  [mostNodes]GasNumbers
	Passages                               [mostPassages]PassageNumbers
	Air, Vacuum                            SeatNumbers
	SeatRounding, CheckCracks, CheckOpens  float64
	ManifoldByMass, ManifoldTemperature    float64
	FlowFactor, ChargeSlope                float64
	Clearance, Overlap, IdleSpeed          float64
	ChargeRounding                         float64
	Front, Rear                            CircuitNumbers
	TakeUpSlope, LineResistance            float64
	BoreArea, MasterStroke                 float64
	MasterSpring, MasterRate, FreePlay     float64
	MasterCompliance                       float64
	Cavitation, CavitationRound            float64
	PistonRounding, EngageTravel           float64
	FloaterDrag, FloaterSpring             float64
	BumpRounding, MasterFriction           float64
	ContactStiffness, ContactDamping       float64
	ContactFade, ContactRounding           float64
	Area, Tail, HubMass, HubDamping        float64
	HubSpring, HubRate                     float64
	HubFriction, HubStroke                 float64
	FrictionSpeed                          float64
	RodMass, RodDamping, InputRatio        float64
	DiscRate, DiscRounding                 float64
	PreloadRate, LeadDamping               float64
	Ratio, JumpIn, CutIn                   float64
	LeadAtRest, LeadAtLap, LeadAtTheBottom float64
}

const (
	mostNodes    = 8
	mostPassages = 16
)

// GasNumbers are those of a gas store. Moves is 1 where the hub changes the volume.
type GasNumbers struct {
	Mass, Energy, Moves     int32
	_                       int32
	Volume, ByTravel, Walls float64
}

// PassageNumbers are those of a passage between two nodes, of a kind numbered as in C.
type PassageNumbers struct {
	From, To, Kind int32
	_              int32
	Area           float64
}

// SeatNumbers are those of one of the valve's seats.
type SeatNumbers struct{ Shut, Stroke, Full, Before float64 }

// CircuitNumbers are those of a circuit. Lost is 1 where it is.
type CircuitNumbers struct {
	TakeUp, Stiff, Round, Air float64
	Volume, Lost              int32
}

// The kinds of passage.
const (
	fixedPassage = iota
	airPassage
	vacuumPassage
	checkPassage
	throttledPassage
)

const (
	outsideNode = iota
	sourceNode
	firstGasNode
)

// Equations returns the numbers. A car without a booster or with a pump is an error:
// the copy does not know them.
func (m *Model) Equations() (Equations, error) {
	p := m.plant
	if p.hub == nil || p.pumped != nil {
		return Equations{}, errors.New("the equations in C are of a booster without a pump")
	}
	c := &effect(&m.config).config
	width, scale := physics.Laminar()
	e := Equations{
		Size: int32(p.net.Size()), Sought: int32(p.driver.sought),
		Rod: int32(p.rod.travel), RodSpeed: int32(p.rod.speed), Hub: int32(p.hub.travel), HubSpeed: int32(p.hub.speed),
		Floater: int32(max(p.master.floater, -1)), Manifold: -1,
		Ambient: float64(c.Ambient.Pressure), Warm: float64(c.Ambient.Temperature),
		GasConstant: physics.GasConstant, Gamma: physics.Gamma,
		HeatAtVolume: physics.HeatAtVolume, HeatAtPressure: physics.HeatAtPressure,
		ReferenceDensity: physics.ReferenceDensity, ReferenceTemperature: physics.ReferenceTemperature,
		CriticalRatio: physics.CriticalRatio, Laminar: width, LamScale: scale,
		Air: p.air.numbers(), Vacuum: p.vacuum.numbers(),
		SeatRounding: seatRounding, CheckCracks: checkCracks, CheckOpens: checkOpens,
		ChargeSlope: chargeSlope, ChargeRounding: chargeRounding, ManifoldTemperature: manifoldTemp,
		Front: p.circuits[0].numbers(), Rear: p.circuits[1].numbers(),
		TakeUpSlope: takeUpSlope, LineResistance: lineResistance,
		BoreArea: p.master.area, MasterStroke: p.master.stroke, MasterSpring: p.master.spring,
		MasterRate: p.master.rate, FreePlay: p.master.freePlay,
		MasterCompliance: masterCompliance, Cavitation: cavitation, CavitationRound: cavitationRound,
		PistonRounding: pistonRounding, EngageTravel: engageTravel,
		FloaterDrag: floaterDrag, FloaterSpring: floaterSpring, BumpRounding: bumpRounding,
		MasterFriction:   float64(c.Master.Friction),
		ContactStiffness: contactStiffness, ContactDamping: contactDamping,
		ContactFade: contactFade, ContactRounding: contactRounding,
		Area: float64(c.Booster.Area), Tail: float64(c.Booster.TailArea),
		HubMass: hubMass, HubDamping: hubDamping,
		HubSpring: float64(c.Booster.Spring), HubRate: float64(c.Booster.SpringRate),
		HubFriction: float64(c.Booster.Friction), HubStroke: usableStroke(&c.Booster), FrictionSpeed: frictionSpeed,
		RodMass: inputMass(float64(c.Pedal.Ratio)), RodDamping: rodDamping, InputRatio: p.inputRatio,
		DiscRate: discRate, DiscRounding: discRounding, PreloadRate: preloadRate, LeadDamping: leadDamping,
		Ratio: float64(c.Booster.Ratio), JumpIn: float64(c.Booster.JumpIn), CutIn: float64(c.Booster.CutIn),
		LeadAtRest: leadAtRest, LeadAtLap: leadAtLap, LeadAtTheBottom: leadAtBottom,
	}
	if p.engine != nil {
		e.Manifold = int32(p.manifold.mass)
		e.ManifoldByMass = p.manifold.byMass()
		e.FlowFactor = p.engine.flowFactor()
		e.Clearance, e.Overlap, e.IdleSpeed = p.engine.clearance, p.engine.overlap, p.engine.idleSpeed
	}
	return e, e.air(p)
}

// air fills in the gases and what flows between them.
func (e *Equations) air(p *plant) error {
	node := map[signalSlot]int32{}
	for i, g := range []*gas{p.front, p.rear, p.hose, p.tank} {
		if g == nil {
			continue
		}
		n := GasNumbers{Mass: int32(g.mass), Energy: int32(g.energy), Volume: g.volume, ByTravel: g.byTravel}
		for _, f := range p.net.flows {
			if f.to == g.energy && f.from == g.t {
				n.Walls = -f.factor
			}
		}
		if g.hub != nowhere {
			n.Moves = 1
		}
		node[g.p] = firstGasNode + int32(i)
		e.Gases[node[g.p]] = n
		e.Nodes = node[g.p] + 1
	}
	if p.manifold != nil {
		node[p.manifold.p] = sourceNode
	} else {
		node[p.bench.p] = sourceNode
	}
	for _, l := range p.net.links {
		if l, is := l.(*passage); is {
			if e.PassageCount == mostPassages {
				return errors.New("more passages than the equations in C have room for")
			}
			// A signal that is no node's is the constant of the outside.
			n := PassageNumbers{From: node[l.a.p], To: node[l.b.p]}
			switch c := l.c.(type) {
			case fixed:
				n.Kind, n.Area = fixedPassage, float64(c)
			case *checkValve:
				n.Kind, n.Area = checkPassage, c.full
			case *seat:
				n.Kind = airPassage
				if c == p.vacuum {
					n.Kind = vacuumPassage
				}
			case throttled:
				n.Kind = throttledPassage
			default:
				return fmt.Errorf("the equations in C have no conductance like %T", c)
			}
			e.Passages[e.PassageCount] = n
			e.PassageCount++
		}
	}
	return nil
}

func (s *seat) numbers() SeatNumbers { return SeatNumbers{s.shut, s.stroke, s.full, s.before} }

func (c *circuit) numbers() CircuitNumbers {
	n := CircuitNumbers{TakeUp: c.takeUp, Stiff: c.stiff, Round: c.round, Air: c.air, Volume: int32(c.volume)}
	if c.lost {
		n.Lost = 1
	}
	return n
}

// LineNumbers are those of a straight line in time.
type LineNumbers struct{ T0, V0, Slope float64 }

func (l line) numbers() LineNumbers { return LineNumbers{l.t0, l.v0, l.slope} }
func (n LineNumbers) line() line    { return line{n.T0, n.V0, n.Slope} }

// Piece are the inputs between two breaks, up to End.
type Piece struct {
	Pedal, Source, Speed, Throttle LineNumbers
	End                            float64
}

// Pieces returns the inputs of a run. One with a pump or a driver who seeks has
// inputs that depend on the state, which is an error.
func (t *Trajectory) Pieces() ([]Piece, error) {
	var out []Piece
	for i, s := range t.spans {
		if s.in.pumping || s.in.seek != nil {
			return nil, errors.New("the inputs depend on the state")
		}
		p := Piece{
			Pedal: s.in.pedal.numbers(), Source: s.in.source.numbers(),
			Speed: s.in.speed.numbers(), Throttle: s.in.throttle.numbers(), End: t.until,
		}
		if i+1 < len(t.spans) {
			p.End = t.segments[t.spans[i+1].first].T0
		}
		out = append(out, p)
	}
	return out, nil
}

// Rates evaluates the model's right-hand side with the inputs of a piece.
func (m *Model) Rates(p *Piece, t float64, y, dy []float64) {
	m.plant.in = inputs{pedal: p.Pedal.line(), source: p.Source.line(), speed: p.Speed.line(), throttle: p.Throttle.line()}
	m.plant.net.Rates(t, y, dy)
}

// Scales are the sizes whose product with the relative tolerance is the absolute one.
func (m *Model) Scales() []float64 { return append([]float64(nil), m.plant.net.scales...) }

// Vector is the session's state vector.
func (s *Session) Vector() []float64 { return append([]float64(nil), s.y...) }

// On returns a copy of the session driven by another model of the same car.
func (s *Session) On(m *Model) *Session {
	f := s.Fork()
	f.m = m
	return f
}

// StateAt writes the state vector at a time of the run.
func (t *Trajectory) StateAt(at float64, y []float64) {
	i, j := 0, len(t.segments)-1
	for i < j {
		if k := (i + j) / 2; t.segments[k].T1 >= at {
			j = k
		} else {
			i = k + 1
		}
	}
	t.segments[i].At(at, y)
}
