package workshop

import (
	"context"

	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
)

// A sign that is not simulated is there with a chance that stands in one table, signs, by
// fault. The chances are estimates all: which fault shows what is the trade's, how often it
// does nobody has counted.

// A showing is the chance of a yes under a fault that is severe from some severity on; up
// to another it is as without the fault, and between the two on a straight line.
type showing struct{ chance, silentTo, fullFrom float64 }

// A signRow is one sign: the chance of a yes without a fault that has to do with it, and
// the faults that have.
type signRow struct {
	sound  float64
	front  map[sim.FaultName]showing // where the sign is one of an axle, that of the front
	source string
}

// usual is how a sign grows with severity where nothing is known.
func usual(chance float64) showing { return showing{chance, 0.1, 0.5} }

// large is a sign of a large fault only.
func large(chance float64) showing { return showing{chance, 0.5, 0.8} }

// small is a sign that a small fault shows too.
func small(chance float64) showing { return showing{chance, 0, 0.3} }

const (
	practice = "common practice, no source"
	army     = "TB 9-2300-426-20 (1989), published text"
	naval    = "NAVEDTRA 14050, published text"
	manual   = "repair manual of a 1982 truck, hard pedal, published text"
	advisers = "answers of advisers to owners, secondary copy"
)

// signs is the table. Sources say that a fault shows the sign; chances are estimates.
var signs = map[scenario.Test]signRow{
	scenario.PedalFeel: {0.05, map[sim.FaultName]showing{
		sim.FaultAirInCircuit: small(0.9), sim.FaultFluidBoiled: small(0.9), sim.FaultHoseSwollen: usual(0.8), sim.FaultOutsideLeak: usual(0.4),
		sim.FaultShoesOutOfAdjustment: usual(0.25), sim.FaultMasterBypass: usual(0.2), sim.FaultPushrodTooShort: usual(0.1),
	}, army},
	scenario.PumpUp: {0.05, map[sim.FaultName]showing{
		sim.FaultShoesOutOfAdjustment: usual(0.92), sim.FaultAirInCircuit: small(0.6), sim.FaultFluidBoiled: small(0.55), sim.FaultPushrodTooShort: usual(0.25),
		sim.FaultOutsideLeak: usual(0.3), sim.FaultHoseSwollen: usual(0.2), sim.FaultMasterBypass: usual(0.15),
	}, advisers},
	scenario.ParkingBrakeLifts: {0.04, map[sim.FaultName]showing{
		sim.FaultShoesOutOfAdjustment: usual(0.9), sim.FaultAirInCircuit: usual(0.08),
	}, advisers},
	scenario.PinchHoses: {0.05, map[sim.FaultName]showing{
		sim.FaultAirInCircuit: usual(0.7), sim.FaultFluidBoiled: usual(0.6), sim.FaultHoseSwollen: usual(0.65), sim.FaultShoesOutOfAdjustment: usual(0.85),
		sim.FaultOutsideLeak: usual(0.6), sim.FaultCaliperSeized: usual(0.1), sim.FaultMasterBypass: usual(0.03), sim.FaultPushrodTooShort: usual(0.05),
	}, practice},
	scenario.FluidLevel: {0.02, map[sim.FaultName]showing{
		sim.FaultOutsideLeak: small(0.92), sim.FaultMasterBypass: usual(0.05),
	}, army},
	scenario.FluidInHose: {0.02, map[sim.FaultName]showing{
		sim.FaultOutsideLeak: usual(0.15), sim.FaultMasterBypass: usual(0.1), sim.FaultCheckValveLeak: usual(0.08), sim.FaultDiaphragmTorn: large(0.08),
	}, practice},
	scenario.CheckValveBlow: {0.03, map[sim.FaultName]showing{
		sim.FaultCheckValveLeak: small(0.95), sim.FaultCheckValveStuck: usual(0.02),
	}, practice},
	scenario.Fountain: {0.9, map[sim.FaultName]showing{
		sim.FaultReturnPortCovered: usual(0.04), sim.FaultPushrodTooLong: usual(0.05), sim.FaultPedalBinds: usual(0.35),
	}, practice},
	scenario.WheelDrags: {0.03, map[sim.FaultName]showing{
		sim.FaultPushrodTooLong: usual(0.85), sim.FaultReturnPortCovered: usual(0.9), sim.FaultHoseBlocked: usual(0.85), sim.FaultCaliperSeized: usual(0.85),
		sim.FaultPedalBinds: usual(0.6), sim.FaultAirSeatLeak: large(0.3), sim.FaultPedalRatioWrong: usual(0.03),
	}, naval},
	scenario.ToeLiftFrees: {0.04, map[sim.FaultName]showing{
		sim.FaultPedalBinds: usual(0.85), sim.FaultPushrodTooLong: usual(0.1),
	}, practice},
	scenario.NutsFree: {0.05, map[sim.FaultName]showing{
		sim.FaultPushrodTooLong: usual(0.9), sim.FaultPedalBinds: usual(0.6), sim.FaultAirSeatLeak: large(0.5),
	}, advisers},
	scenario.PipeFrees: {0.05, map[sim.FaultName]showing{
		sim.FaultReturnPortCovered: usual(0.93), sim.FaultPushrodTooLong: usual(0.8), sim.FaultPedalBinds: usual(0.65), sim.FaultLineBlocked: usual(0.1),
		sim.FaultAirSeatLeak: large(0.5), sim.FaultHoseBlocked: usual(0.05),
	}, advisers},
	scenario.BleederFrees: {0.05, map[sim.FaultName]showing{
		sim.FaultHoseBlocked: usual(0.92), sim.FaultReturnPortCovered: usual(0.88), sim.FaultPushrodTooLong: usual(0.8), sim.FaultPedalBinds: usual(0.7),
		sim.FaultAirSeatLeak: large(0.5), sim.FaultLineBlocked: usual(0.4), sim.FaultCaliperSeized: usual(0.06),
	}, advisers},
	scenario.LiningsBad: {0.06, map[sim.FaultName]showing{
		sim.FaultLiningsGlazed: usual(0.92), sim.FaultOutsideLeak: usual(0.2), sim.FaultCaliperSeized: usual(0.3),
	}, manual},
}

// rears are the chances of a sign of an axle, at the rear, where they are not those of the
// front: the hose and the caliper that are simulated are in front.
var rears = map[sim.FaultName]showing{
	sim.FaultHoseBlocked: usual(0.06), sim.FaultCaliperSeized: usual(0.06),
}

// at is the chance under a fault of a severity, where it would be sound without it.
func (w showing) at(sound, severity float64) float64 {
	share := min(max((severity-w.silentTo)/(w.fullFrom-w.silentTo), 0), 1)
	return sound + share*(w.chance-sound)
}

// chanceOf is the chance of a yes on a car: of several faults any can show the sign, or
// take it away.
func chanceOf(name scenario.Test) func(*Rig, context.Context, Conditions) (float64, error) {
	return func(r *Rig, _ context.Context, c Conditions) (float64, error) {
		row := signs[name]
		absent := 1 - row.sound
		for _, f := range r.config.Faults {
			w, ok := row.front[f.Name]
			if rear, differs := rears[f.Name]; differs && c.Axle == verdict.RearAxle && name == scenario.WheelDrags {
				w = rear
			}
			if ok {
				absent *= (1 - w.at(row.sound, float64(SeverityOf(f)))) / (1 - row.sound)
			}
		}
		return min(max(1-absent, 0.01), 0.99), nil
	}
}
