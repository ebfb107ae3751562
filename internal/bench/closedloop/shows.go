package main

import (
	"kneepoint/sim"
	"kneepoint/sim/scenario"
)

// What a car shows that is not simulated. The table is this fleet's own, written from the
// sources named and from common practice without a look at the diagnosis's; how often and
// from which severity on a fault shows a sign is a guess, nobody has counted.

// A mechanism is how a fault shows a sign: in a share of the cars that have it, and from a
// severity on that lies half as low to half as high again from car to car.
type mechanism struct{ ever, from float64 }

type signs map[sim.FaultName]mechanism

var (
	spongy = signs{ // TB 9-2300-426-20 (published text): air, a hose that bulges; boiled fluid is gas as well (practice)
		sim.FaultAirInCircuit: {1, 0.15}, sim.FaultFluidBoiled: {1, 0.2}, sim.FaultHoseSwollen: {0.95, 0.3}, sim.FaultOutsideLeak: {0.3, 0.5},
	}
	pumpsUp = signs{ // an adviser's answer (published text): shoes; "or air: rises but stays soft"
		sim.FaultShoesOutOfAdjustment: {0.97, 0.25}, sim.FaultAirInCircuit: {0.5, 0.3}, sim.FaultFluidBoiled: {0.5, 0.35},
		sim.FaultMasterBypass: {0.25, 0.4}, sim.FaultOutsideLeak: {0.2, 0.4}, sim.FaultPushrodTooShort: {0.15, 0.5},
	}
	liftedByParkingBrake = signs{sim.FaultShoesOutOfAdjustment: {0.93, 0.3}} // an owners' list (published text): rear shoes
	firmWhenPinched      = signs{                                            // plugs and clamps (published text): firm if the fault lies beyond
		sim.FaultAirInCircuit: {0.65, 0.2}, sim.FaultFluidBoiled: {0.75, 0.25}, sim.FaultHoseSwollen: {0.7, 0.3},
		sim.FaultShoesOutOfAdjustment: {0.85, 0.3}, sim.FaultOutsideLeak: {0.55, 0.2},
	}
	levelFalls  = signs{sim.FaultOutsideLeak: {0.97, 0.1}}                                               // the same handbook, 49 CFR 570 (published text)
	fluidInHose = signs{sim.FaultOutsideLeak: {0.2, 0.3}, sim.FaultMasterBypass: {0.1, 0.5}}             // a rear seal (published text)
	airPasses   = signs{sim.FaultCheckValveLeak: {0.98, 0.1}}                                            // two makers' manuals (published text)
	nothingUp   = signs{sim.FaultPushrodTooLong: {0.95, 0.25}, sim.FaultReturnPortCovered: {0.97, 0.15}} // no fountain: the port is shut (published text)
	looksBad    = signs{sim.FaultLiningsGlazed: {0.95, 0.25}}                                            // manual of 1982 (published text)

	frontDrags = signs{ // NAVEDTRA 14050 (published text), rod, port, hose, piston; a pivot, a valve that applies itself (published cases)
		sim.FaultPushrodTooLong: {0.9, 0.25}, sim.FaultReturnPortCovered: {0.97, 0.15}, sim.FaultHoseBlocked: {0.9, 0.3},
		sim.FaultCaliperSeized: {0.8, 0.25}, sim.FaultPedalBinds: {0.6, 0.4}, sim.FaultAirSeatLeak: {0.4, 0.7},
	}
	// rearDrags are those of them that drag behind too.
	rearDrags = []sim.FaultName{sim.FaultPushrodTooLong, sim.FaultReturnPortCovered, sim.FaultPedalBinds, sim.FaultAirSeatLeak}

	// Wheels that drag let go for these, whatever the severity (published cases and advisers).
	toeFrees     = map[sim.FaultName]float64{sim.FaultPedalBinds: 0.9}
	nutsFree     = map[sim.FaultName]float64{sim.FaultPushrodTooLong: 0.95, sim.FaultAirSeatLeak: 0.7, sim.FaultPedalBinds: 0.5}
	pipeFrees    = map[sim.FaultName]float64{sim.FaultReturnPortCovered: 0.97, sim.FaultPushrodTooLong: 0.9, sim.FaultPedalBinds: 0.7, sim.FaultAirSeatLeak: 0.6}
	bleederFrees = map[sim.FaultName]float64{sim.FaultHoseBlocked: 0.97, sim.FaultReturnPortCovered: 0.95, sim.FaultPushrodTooLong: 0.9, sim.FaultPedalBinds: 0.7, sim.FaultAirSeatLeak: 0.6}
)

// letGo are the signs that there are only while a wheel drags.
var letGo = map[scenario.Test]map[sim.FaultName]float64{
	scenario.ToeLiftFrees: toeFrees, scenario.NutsFree: nutsFree, scenario.PipeFrees: pipeFrees, scenario.BleederFrees: bleederFrees,
}

// showSigns settles which signs the car has.
func (c *car) showSigns() {
	// A car has one onset: what shows late in one way shows late in all.
	late := between(c.rng, 0.5, 1.5)
	shown := func(f sim.Fault, table signs) bool {
		m := table[f.Name]
		return c.rng.Float64() < m.ever && severityOf(f) > m.from*late
	}
	for _, f := range c.faults {
		for _, row := range []struct {
			test  scenario.Test
			table signs
		}{
			{scenario.PedalFeel, spongy}, {scenario.PumpUp, pumpsUp}, {scenario.ParkingBrakeLifts, liftedByParkingBrake},
			{scenario.PinchHoses, firmWhenPinched}, {scenario.FluidLevel, levelFalls}, {scenario.FluidInHose, fluidInHose},
			{scenario.CheckValveBlow, airPasses}, {scenario.Fountain, nothingUp}, {scenario.LiningsBad, looksBad}, {scenario.WheelDrags, frontDrags},
		} {
			here := shown(f, row.table)
			c.shows[row.test] = c.shows[row.test] || here
			if !here || row.test != scenario.WheelDrags {
				continue
			}
			for _, name := range rearDrags {
				c.rearDrags = c.rearDrags || name == f.Name
			}
			for _, test := range []scenario.Test{scenario.ToeLiftFrees, scenario.NutsFree, scenario.PipeFrees, scenario.BleederFrees} {
				frees := c.rng.Float64() < letGo[test][f.Name]
				c.shows[test] = c.shows[test] || frees
			}
		}
	}
	c.shows[scenario.Fountain] = !c.shows[scenario.Fountain] // a sound car has one
}

// drags says whether any wheel does.
func (c *car) drags() bool { return c.shows[scenario.WheelDrags] || c.rearDrags }
