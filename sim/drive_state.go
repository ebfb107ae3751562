package sim

import (
	"math"

	"kneepoint/sim/si"
)

// A State is every quantity of the car at one time. What a car does not have is NaN.
type State struct {
	Time si.Time
	// Pedal is the force at the pedal, Input that at the input rod, Output that
	// on the master cylinder's piston.
	Pedal, Input, Output si.Force
	// LineFront and LineRear are the pressures at the wheels, above ambient.
	LineFront, LineRear si.Pressure
	// Line is the pressure of the front circuit, or of the rear one where the front
	// is lost.
	Line            si.Pressure
	FrontVacuum     si.Vacuum
	WorkingVacuum   si.Vacuum
	ReservoirVacuum si.Vacuum
	ManifoldVacuum  si.Vacuum
	HoseVacuum      si.Vacuum
	// Hub and Plunger are travels from rest, PedalTravel is the pedal's.
	Hub, Plunger, PedalTravel si.Length
	// AirOpen and VacuumOpen are the valve's two seats, 0 to 1.
	AirOpen, VacuumOpen si.Ratio
	// AirFlow enters the working chamber, InnerFlow goes from it to the front
	// chamber, CheckFlow leaves through the check valve, HoseFlow enters the
	// source, PumpFlow the pump.
	AirFlow, InnerFlow, CheckFlow, HoseFlow, PumpFlow si.MassFlow
	FrontTemperature, WorkingTemperature              si.Temperature
	// FluidFront and FluidRear have entered the circuits.
	FluidFront, FluidRear si.Volume
	// Piston is the travel of the master cylinder's first piston, Floater that
	// of the second.
	Piston, Floater si.Length
	EngineSpeed     si.Rotation
	Deceleration    si.Acceleration
	// FrontLoad is the share of the car's weight on its front axle; FrontLocked and
	// RearLocked say whose wheels stand still.
	FrontLoad               si.Ratio
	FrontLocked, RearLocked bool
}

// Assist is the booster's part of the output, from 0 to 1: 0 where there is no output.
func (s State) Assist() si.Ratio {
	if !(s.Output > 0) {
		return 0
	}
	return si.Ratio(max(0, 1-float64(s.Input/s.Output)))
}

// observe evaluates every quantity with the inputs that are loaded.
func (p *plant) observe(t float64, y []float64) State {
	n := p.net
	n.observe(t, y)
	sig := n.sig
	none := math.NaN()
	pedal := sig[p.driver.force]
	front, rear := si.Pressure(sig[p.circuits[0].p]), si.Pressure(sig[p.circuits[1].p])
	s := State{
		Time:            si.Time(t),
		Pedal:           si.Force(pedal),
		Input:           si.Force(pedal * p.inputRatio),
		Output:          si.Force(n.output(p.output)),
		LineFront:       front,
		Line:            front,
		LineRear:        p.car.RearPressure(rear),
		FrontVacuum:     si.Vacuum(none),
		WorkingVacuum:   si.Vacuum(none),
		ReservoirVacuum: si.Vacuum(none),
		ManifoldVacuum:  si.Vacuum(none),
		HoseVacuum:      si.Vacuum(none),
		Hub:             si.Length(none),
		Plunger:         si.Length(y[p.rod.travel]),
		AirOpen:         si.Ratio(none), VacuumOpen: si.Ratio(none),
		AirFlow: si.MassFlow(none), InnerFlow: si.MassFlow(none), CheckFlow: si.MassFlow(none),
		HoseFlow: si.MassFlow(none), PumpFlow: si.MassFlow(none),
		FrontTemperature: si.Temperature(none), WorkingTemperature: si.Temperature(none),
		FluidFront:   si.Volume(y[p.circuits[0].volume]),
		FluidRear:    si.Volume(y[p.circuits[1].volume]),
		Piston:       si.Length(p.master.piston(y)),
		Floater:      si.Length(none),
		EngineSpeed:  si.Rotation(none),
		Deceleration: p.car.Deceleration(front, rear),
	}
	onFront, onRear := p.car.AxleLoads(s.Deceleration)
	s.FrontLoad = si.Ratio(onFront / (onFront + onRear))
	s.FrontLocked, s.RearLocked = p.car.locks(front, rear)
	if p.circuits[0].lost {
		s.Line = s.LineRear
	}
	if p.master.floater != nowhere {
		s.Floater = si.Length(y[p.master.floater])
	}
	if p.hub != nil {
		s.Hub = si.Length(y[p.hub.travel])
		s.Plunger -= leadAtRest
		ambient := float64(p.ambient)
		vacuum := func(g *gas) si.Vacuum { return si.Vacuum(ambient - sig[g.p]) }
		s.FrontVacuum, s.WorkingVacuum, s.HoseVacuum = vacuum(p.front), vacuum(p.rear), vacuum(p.hose)
		if p.tank != nil {
			s.ReservoirVacuum = vacuum(p.tank)
		}
		if p.manifold != nil {
			s.ManifoldVacuum = si.Vacuum(ambient - sig[p.manifold.p])
			s.EngineSpeed = si.Rotation(sig[p.manifold.speed])
		} else {
			s.ManifoldVacuum = si.Vacuum(ambient - sig[p.bench.p])
		}
		s.AirOpen, s.VacuumOpen = si.Ratio(p.air.open(sig)), si.Ratio(p.vacuum.open(sig))
		s.AirFlow = si.MassFlow(n.output(p.airFlow))
		s.InnerFlow = si.MassFlow(n.output(p.innerFlow))
		s.CheckFlow = si.MassFlow(n.output(p.checkFlow))
		s.HoseFlow = si.MassFlow(n.output(p.hoseFlow))
		if p.pumped != nil {
			s.PumpFlow = si.MassFlow(n.output(p.pumpFlow))
		}
		s.FrontTemperature = si.Temperature(sig[p.front.t])
		s.WorkingTemperature = si.Temperature(sig[p.rear.t])
	}
	s.PedalTravel = s.Plunger * si.Length(p.pedalRatio)
	return s
}
