package workshop

import (
	"context"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/verdict"
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
	advisers = "answers of advisers to owners, secondary copy"
)

// signs is the table. Sources say that a fault shows the sign; chances are estimates.
var signs = map[scenario.Test]signRow{
	scenario.PedalFeel: {0.05, map[sim.FaultName]showing{
		"air-in-circuit": small(0.9), "fluid-boiled": small(0.9), "hose-swollen": usual(0.8), "outside-leak": usual(0.4),
		"shoes-out-of-adjustment": usual(0.25), "master-bypass": usual(0.2), "pushrod-too-short": usual(0.1),
	}, army},
	scenario.PumpUp: {0.05, map[sim.FaultName]showing{
		"shoes-out-of-adjustment": usual(0.92), "air-in-circuit": small(0.6), "fluid-boiled": small(0.55), "pushrod-too-short": usual(0.25),
		"outside-leak": usual(0.3), "hose-swollen": usual(0.2), "master-bypass": usual(0.15),
	}, advisers},
	scenario.ParkingBrakeLifts: {0.04, map[sim.FaultName]showing{
		"shoes-out-of-adjustment": usual(0.9), "air-in-circuit": usual(0.08),
	}, advisers},
	scenario.PinchHoses: {0.05, map[sim.FaultName]showing{
		"air-in-circuit": usual(0.7), "fluid-boiled": usual(0.6), "hose-swollen": usual(0.65), "shoes-out-of-adjustment": usual(0.85),
		"outside-leak": usual(0.6), "caliper-seized": usual(0.1), "master-bypass": usual(0.03), "pushrod-too-short": usual(0.05),
	}, practice},
	scenario.FluidLevel: {0.02, map[sim.FaultName]showing{
		"outside-leak": small(0.92), "master-bypass": usual(0.05),
	}, army},
	scenario.FluidInHose: {0.02, map[sim.FaultName]showing{
		"outside-leak": usual(0.15), "master-bypass": usual(0.1), "check-valve-leak": usual(0.08), "diaphragm-torn": large(0.08),
	}, practice},
	scenario.CheckValveBlow: {0.03, map[sim.FaultName]showing{
		"check-valve-leak": small(0.95), "check-valve-stuck": usual(0.02),
	}, practice},
	scenario.Fountain: {0.9, map[sim.FaultName]showing{
		"return-port-covered": usual(0.04), "pushrod-too-long": usual(0.05), "pedal-binds": usual(0.35),
	}, practice},
	scenario.WheelDrags: {0.03, map[sim.FaultName]showing{
		"pushrod-too-long": usual(0.85), "return-port-covered": usual(0.9), "hose-blocked": usual(0.85), "caliper-seized": usual(0.85),
		"pedal-binds": usual(0.6), "air-seat-leak": large(0.3), "pedal-ratio-wrong": usual(0.03),
	}, naval},
	scenario.ToeLiftFrees: {0.04, map[sim.FaultName]showing{
		"pedal-binds": usual(0.85), "pushrod-too-long": usual(0.1),
	}, practice},
	scenario.NutsFree: {0.05, map[sim.FaultName]showing{
		"pushrod-too-long": usual(0.9), "pedal-binds": usual(0.6), "air-seat-leak": large(0.5),
	}, advisers},
	scenario.PipeFrees: {0.05, map[sim.FaultName]showing{
		"return-port-covered": usual(0.93), "pushrod-too-long": usual(0.8), "pedal-binds": usual(0.65), "line-blocked": usual(0.1),
		"air-seat-leak": large(0.5), "hose-blocked": usual(0.05),
	}, advisers},
	scenario.BleederFrees: {0.05, map[sim.FaultName]showing{
		"hose-blocked": usual(0.92), "return-port-covered": usual(0.88), "pushrod-too-long": usual(0.8), "pedal-binds": usual(0.7),
		"air-seat-leak": large(0.5), "line-blocked": usual(0.4), "caliper-seized": usual(0.06),
	}, advisers},
}

// rears are the chances of a sign of an axle, at the rear, where they are not those of the
// front: the hose and the caliper that are simulated are in front.
var rears = map[sim.FaultName]showing{
	"hose-blocked": usual(0.06), "caliper-seized": usual(0.06),
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
