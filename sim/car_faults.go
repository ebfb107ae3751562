package sim

import "kneepoint/sim/si"

// What a fault changes at severity 1 (estimates).
const (
	worstUndersize = 0.5    // share of the area that is missing
	worstRatio     = 0.4    // share of the pedal ratio that is missing
	worstBore      = 0.3    // share by which the bore is too large
	worstPushrod   = 2.5e-3 // m by which the pushrod is too long
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
}

func effect(c *Config) *effects {
	f := &effects{config: *c}
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
		}
	}
	return f
}
