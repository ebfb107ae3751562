package sim

import (
	"kneepoint/internal/portable"
	"kneepoint/sim/si"
)

// What a fault changes at severity 1 (estimates).
const (
	worstUndersize = 0.5    // share of the area that is missing
	worstRatio     = 0.4    // share of the pedal ratio that is missing
	worstBore      = 0.3    // share by which the bore is too large
	worstPushrod   = 2.5e-3 // m by which the pushrod is too long

	worstShortRod   = 6e-3    // m by which it is too short
	worstBinding    = 0.4     // share of the foot's force that a dry pivot takes
	worstSeep       = 1e-12   // m³/(s Pa) past a seal or out: 5 cm³/s at 50 bar
	seepSpan        = 100.0   // from there down to a seep of severity 0
	worstTrapped    = 1e6     // Pa that a covered return port keeps in the lines
	worstVapour     = 15e-6   // m³ of vapour in the front circuit
	worstBulge      = 0.8e-12 // m³/Pa that the front hoses give more
	worstOneWay     = 1e5     // by which the way back through a hose is narrower
	oneWayIn        = 10.0    // by which the way in is
	worstBlocked    = 1e5     // by which a line is narrower, both ways
	worstSeized     = 0.5     // share of the front brakes that does not grip: one of two
	worstGlaze      = 0.6     // share of the linings' friction that is gone
	worstAdjustment = 8e-6    // m³ more that the shoes take before they touch
	checkShut       = 500.0   // by which the check valve's opening is narrower, but for the last
)

// effects is a car with its faults worked in: the changed figures, and the
// openings that a sound car does not have.
type effects struct {
	config     Config
	frontShell si.Area
	airSeat    si.Area
	diaphragm  si.Area // and the vacuum seat: both join the chambers
	checkValve si.Area
	hose       si.Area
	air        float64 // m³ in the front circuit

	checkOpen float64   // share of the check valve's opening
	seep      float64   // m³/(s Pa) from the first half of the master cylinder
	trapped   float64   // Pa kept in the lines at rest
	pipes     [2]piping // front and rear
}

// piping are the conductances of one circuit's pipes and hoses beside those of a sound
// car, towards the wheels and back.
type piping struct{ in, back float64 }

func effect(c *Config) *effects {
	f := &effects{config: *c, checkOpen: 1, pipes: [2]piping{{1, 1}, {1, 1}}}
	d := &f.config
	for _, fault := range c.Faults {
		switch fault.Name {
		case FaultFrontShellLeak:
			f.frontShell += fault.Area
		case FaultAirSeatLeak:
			f.airSeat += fault.Area
		case FaultDiaphragmTorn, FaultVacuumSeatLeak:
			f.diaphragm += fault.Area
		case FaultCheckValveLeak:
			f.checkValve += fault.Area
		case FaultHoseLeak:
			f.hose += fault.Area
		case FaultHoseRestricted:
			d.Hose.Area *= si.Area(fault.Open)
		case FaultFilterBlocked:
			d.Booster.Filter *= si.Area(fault.Open)
		case FaultLowSourceVacuum:
			d.Source.Vacuum *= si.Vacuum(1 - fault.Severity)
		case FaultBoosterUndersized:
			k := 1 - worstUndersize*float64(fault.Severity)
			d.Booster.Area *= si.Area(k)
			d.Booster.FrontVolume *= si.Volume(k)
			d.Booster.RearVolume *= si.Volume(k)
		case FaultPedalRatioWrong:
			d.Pedal.Ratio *= 1 - worstRatio*fault.Severity
		case FaultBoreOversize:
			d.Master.Bore *= si.Length(1 + worstBore*fault.Severity)
		case FaultPushrodTooLong:
			d.Booster.FreePlay -= si.Length(worstPushrod * fault.Severity)
		case FaultAirInCircuit:
			f.air += airWhenWorst * float64(fault.Severity)
		default:
			f.further(fault.Name, float64(fault.Severity))
		}
	}
	return f
}

// further works in the faults of the way from the pedal to the road, at a severity.
func (f *effects) further(name FaultName, s float64) {
	d := &f.config
	switch name {
	case FaultCheckValveStuck:
		// Shut altogether at the worst.
		f.checkOpen *= (portable.Pow(checkShut, -s) - 1/checkShut) / (1 - 1/checkShut)
	case FaultPedalBinds:
		d.Pedal.Efficiency *= si.Ratio(1 - worstBinding*s)
	case FaultPushrodTooShort:
		d.Booster.FreePlay += si.Length(worstShortRod * s)
	case FaultMasterBypass, FaultOutsideLeak:
		f.seep += worstSeep * (portable.Pow(seepSpan, s) - 1) / (seepSpan - 1)
	case FaultReturnPortCovered:
		f.trapped += worstTrapped * s
	case FaultFluidBoiled:
		f.air += worstVapour * s
	case FaultHoseSwollen:
		d.Front.Compliance += si.Compliance(worstBulge * s)
	case FaultHoseBlocked:
		f.pipes[0].in *= portable.Pow(oneWayIn, -s)
		f.pipes[0].back *= portable.Pow(worstOneWay, -s)
	case FaultLineBlocked:
		f.pipes[0].in *= portable.Pow(worstBlocked, -s)
		f.pipes[0].back *= portable.Pow(worstBlocked, -s)
	case FaultCaliperSeized:
		// What does not move takes no fluid either.
		k := 1 - worstSeized*s
		d.Car.FrontBrake.PistonArea *= si.Area(k)
		d.Front.TakeUp *= si.Volume(k)
		d.Front.Compliance *= si.Compliance(k)
	case FaultLiningsGlazed:
		for _, b := range []*Brake{&d.Car.FrontBrake, &d.Car.RearBrake} {
			b.Friction *= si.Ratio(1 - worstGlaze*s)
			b.ShoeFactor *= si.Ratio(1 - worstGlaze*s)
		}
	case FaultShoesOutOfAdjustment:
		d.Rear.TakeUp += si.Volume(worstAdjustment * s)
		if d.Car.FrontBrake.Kind.IsDrum() {
			d.Front.TakeUp += si.Volume(worstAdjustment * s)
		}
	}
}
