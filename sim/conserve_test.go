package sim

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kneepoint/internal/ode"
	"kneepoint/sim/si"
)

// accounted wraps a link so that its outputs also go into accounts: states that
// add up what crosses the boundary of the gases.
type accounted struct {
	link
	more map[int][]target
}

func (a *accounted) targets() [][]target {
	all := a.link.targets()
	for out, to := range a.more {
		all[out] = append(append([]target(nil), all[out]...), to...)
	}
	return all
}

// accounts are states that the model itself has no use for.
type accounts struct {
	mass            stateSlot // kg of air that has come in from outside
	enthalpy        stateSlot // J that air has carried into the gases
	heat, work, out stateSlot // J into the gases from walls and pistons, and out by the pump
	hub, rod        stateSlot // N s of every force on the hub and on the input rod
}

// withAccounts returns a model of the car that keeps accounts besides.
func withAccounts(t require.TestingT, c Config, tolerance float64, with ...Option) (*Model, accounts) {
	m, err := New(c, append(with, Tolerance(tolerance))...)
	require.NoError(t, err)
	p := m.plant
	n := p.net
	a := accounts{
		mass: n.state("mass account", 1e-3), enthalpy: n.state("enthalpy account", 100),
		heat: n.state("heat account", 100), work: n.state("work account", 100), out: n.state("pump account", 100),
		hub: n.state("hub account", 10), rod: n.state("rod account", 10),
	}
	for i, l := range n.links {
		more := map[int][]target{}
		switch l := l.(type) {
		case *passage:
			switch {
			case l.a.mass == nowhere:
				more[0] = []target{{a.mass, 1}}
			case l.b.mass == nowhere:
				more[0] = []target{{a.mass, -1}}
			}
			// The manifold is held at one temperature: it has mass and no energy.
			switch {
			case l.a.energy == nowhere && l.b.energy != nowhere:
				more[1] = []target{{a.enthalpy, 1}}
			case l.b.energy == nowhere && l.a.energy != nowhere:
				more[1] = []target{{a.enthalpy, -1}}
			}
		case *pumpLink:
			more[0], more[1] = []target{{a.mass, -1}}, []target{{a.out, 1}}
		case *intake:
			more[0] = []target{{a.mass, -1}}
		case *diaphragm:
			more[0] = []target{{a.hub, 1}}
			more[1], more[2] = []target{{a.work, 1}}, []target{{a.work, 1}}
		case *hubSuspension:
			more[0] = []target{{a.hub, 1}}
		case *reaction:
			more[0], more[1] = []target{{a.hub, 1}}, []target{{a.rod, 1}}
		}
		if len(more) > 0 {
			n.links[i] = &accounted{l, more}
		}
	}
	for _, f := range n.flows {
		for _, g := range n.gases {
			if f.to == g.energy {
				n.flow(a.heat, f.factor, f.from) // every flow into a gas is heat of its walls
			}
		}
		switch f.to {
		case p.rod.speed:
			n.flow(a.rod, f.factor*inputMass(float64(c.Pedal.Ratio)), f.from)
		case p.hub.speed:
			n.flow(a.hub, f.factor*hubMass, f.from)
		}
	}
	refinish(t, n)
	abs := make([]float64, len(n.scales))
	for i, s := range n.scales {
		abs[i] = tolerance * s
	}
	m.solver, err = ode.New(n, ode.Tolerance{Rel: tolerance, Abs: abs}, m.guards(c.Pump)...)
	require.NoError(t, err)
	return m, a
}

// refinish plans the loops of a network anew once parts have changed.
func refinish(t require.TestingT, n *network) {
	require.NoError(t, n.finish())
}

func (p *plant) airMass(y []float64) float64 {
	total := 0.0
	for _, g := range p.net.gases {
		total += y[g.mass]
	}
	if p.manifold != nil {
		total += y[p.manifold.mass]
	}
	return total
}

func (p *plant) gasEnergy(y []float64) float64 {
	total := 0.0
	for _, g := range p.net.gases {
		total += y[g.energy]
	}
	return total
}

// drawCar draws a car with a booster and a short drive.
func drawCar(t *rapid.T) (Config, Schedule) {
	c := variants()[rapid.SampledFrom([]string{
		"engine, dual", "engine, single", "bench", "tank before the check valve", "tank with a valve of its own",
		"tank behind the check valve", "pump", "leaks", "air in circuit", "circuit lost", "tandem",
	}).Draw(t, "car")]
	draw := func(name string, from, to float64) float64 { return rapid.Float64Range(from, to).Draw(t, name) }
	c.Booster.Ratio = si.Ratio(draw("ratio", 2, 9))
	c.Hose.Area *= si.Area(draw("hose", 0.2, 2))
	var s Schedule
	now := 0.5
	for range rapid.IntRange(1, 3).Draw(t, "presses") {
		p := Press{
			At: si.Time(now), Pedal: si.Force(draw("pedal", 10, 900)),
			Press: si.Time(draw("press", 0.02, 2)), Hold: si.Time(draw("hold", 0, 1)), Release: si.Time(draw("release", 0.02, 1)),
		}
		s.Presses = append(s.Presses, p)
		now = float64(p.End()) + draw("pause", 0.1, 2)
	}
	to := rapid.SampledFrom([]EngineState{EngineOff, EngineOff, EngineSnap, EngineOverrun, EngineCruise}).Draw(t, "engine")
	s.Events = []Event{{si.Time(draw("event", 0.01, now)), to}}
	s.Until = si.Time(now + 1)
	return c, s
}

// drive is Run for a model with accounts; it calls look after every stretch.
func drive(t require.TestingT, m *Model, s Schedule, look func(*Session)) {
	session := m.Start()
	require.NoError(t, session.Settle(context.Background(), EngineIdle))
	session.Record()
	for _, p := range s.Presses {
		session.Plan(p)
	}
	look(session)
	fired := false
	for at := si.Time(0.25); at <= s.Until; at += 0.25 {
		if !fired && s.Events[0].At < at {
			require.NoError(t, session.AdvanceTo(context.Background(), s.Events[0].At))
			session.Engine(s.Events[0].Engine)
			fired = true
		}
		require.NoError(t, session.AdvanceTo(context.Background(), at))
		look(session)
	}
}

// TestMassIsConserved holds that all the air in the car is what was there and
// what came in, to rounding: the method keeps such sums whatever its steps.
func TestMassIsConserved(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, s := drawCar(t)
		m, a := withAccounts(t, c, DefaultTolerance)
		start, worst, moved := math.NaN(), 0.0, 0.0
		drive(t, m, s, func(x *Session) {
			now := m.plant.airMass(x.y) - x.y[a.mass]
			if math.IsNaN(start) {
				start = now
			}
			worst = max(worst, math.Abs(now-start))
			moved = max(moved, math.Abs(x.y[a.mass]))
		})
		assert.Less(t, worst, 1e-12*(start+moved))
		assert.Greater(t, moved, 0.0)
	})
}

// TestEnergyIsConserved holds the first law over all gases: the rise of their
// internal energy is the enthalpy that came in, the heat of the walls and the
// work of the pistons. The work is checked besides against pressure and volume
// as they come out of the trajectory.
func TestEnergyIsConserved(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, s := drawCar(t)
		m, a := withAccounts(t, c, DefaultTolerance)
		start, worst, size, atStart := math.NaN(), 0.0, 0.0, 0.0
		var last *Session
		drive(t, m, s, func(x *Session) {
			y := x.y
			now := m.plant.gasEnergy(y) - (y[a.enthalpy] + y[a.heat] + y[a.work] - y[a.out])
			if math.IsNaN(start) {
				start, atStart = now, y[a.work]
			}
			worst = max(worst, math.Abs(now-start))
			size = max(size, m.plant.gasEnergy(y), math.Abs(y[a.enthalpy]), math.Abs(y[a.heat]))
			last = x
		})
		assert.Less(t, worst, 1e-11*size)

		work, gross := 0.0, 0.0
		run := last.Trajectory()
		before := run.At(0)
		const every = 1e-3
		for at := si.Time(every); at <= run.Until(); at += every {
			now := run.At(at)
			front := float64((before.FrontVacuum + now.FrontVacuum).Below(2*c.Ambient.Pressure)) / 2
			rear := float64((before.WorkingVacuum + now.WorkingVacuum).Below(2*c.Ambient.Pressure)) / 2
			dx := float64(now.Hub - before.Hub)
			step := front*float64(c.Booster.Area)*dx - rear*float64(c.Booster.Area-c.Booster.TailArea)*dx
			work, gross = work+step, gross+math.Abs(step)
			before = now
		}
		assert.InDelta(t, last.y[a.work]-atStart, work, 1e-3*gross+0.01)
	})
}
