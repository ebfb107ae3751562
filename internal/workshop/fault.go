package workshop

import (
	"math"

	"kneepoint/internal/portable"
	"kneepoint/sim"
	"kneepoint/sim/si"
)

// The scale of severity (estimates). A leak runs from nothing to a hole as wide
// as a hose pulled off, in even steps of the logarithm: at 0.1 some 0.02 mm²,
// which a gauge hardly shows, at 0.5 1 mm², at 0.75 10 mm². A restriction runs
// from fully open to a five-hundredth of the area.
const (
	hoseOff    = 100e-6 // m²
	leakSpan   = 1e4
	almostShut = 500
	// pore is a leak of severity 0, since one of no area is no leak: no gauge shows
	// it within hours.
	pore = 1.000001e-12 // m²
)

// FaultAt returns a fault of a severity from 0, where the car is as sound as
// without it, to 1, where the part is of no use at all.
func FaultAt(name sim.FaultName, severity si.Ratio) sim.Fault {
	s := min(max(severity, 0), 1)
	f := sim.Fault{Name: name}
	switch name.Measure() {
	case sim.FaultByArea:
		f.Area = si.Area(max(pore, hoseOff*(portable.Pow(leakSpan, float64(s))-1)/(leakSpan-1)))
	case sim.FaultByOpen:
		f.Open = si.Ratio(portable.Pow(almostShut, -float64(s)))
	default:
		f.Severity = s
	}
	return f
}

// SeverityOf is the inverse of [FaultAt]; what is worse than the worst is 1.
func SeverityOf(f sim.Fault) si.Ratio {
	var s float64
	switch f.Name.Measure() {
	case sim.FaultByArea:
		s = portable.Log(1+float64(f.Area)/hoseOff*(leakSpan-1)) / portable.Log(leakSpan)
	case sim.FaultByOpen:
		s = -portable.Log(float64(f.Open)) / portable.Log(almostShut)
	default:
		s = float64(f.Severity)
	}
	return si.Ratio(min(max(s, 0), 1))
}

// Size says how bad a fault of a severity is on a car whose source has some vacuum, in the
// words of its kind.
func Size(name sim.FaultName, severity float64, source si.Vacuum, u si.System) string {
	f := FaultAt(name, si.Ratio(severity))
	percent := func(share float64) string { return si.FormatFine(si.DimNone, math.Round(100*share), u) + " %" }
	if name == sim.FaultLowSourceVacuum {
		return "about " + si.Format(si.DimVacuum, (1-severity)*float64(source), u) + " at the source"
	}
	switch name.Measure() {
	case sim.FaultByArea:
		area := float64(f.Area)
		return "a hole of about " + si.FormatFine(si.DimArea, si.Significant(area, 1), si.SI)
	case sim.FaultByOpen:
		return "about " + si.FormatFine(si.DimNone, si.Significant(100*float64(f.Open), 1), u) + " % of the area left open"
	}
	return "about " + percent(severity) + " of the worst that is simulated"
}

// Describe says what a fault is, for people.
func Describe(name sim.FaultName) string { return descriptions[name] }

var descriptions = map[sim.FaultName]string{
	sim.FaultCheckValveLeak:    "a check valve that does not hold",
	sim.FaultHoseLeak:          "a leak in the vacuum hose",
	sim.FaultHoseRestricted:    "a pinched, collapsed or clogged vacuum hose",
	sim.FaultFrontShellLeak:    "a leak from the front shell to the air",
	sim.FaultDiaphragmTorn:     "a torn diaphragm",
	sim.FaultVacuumSeatLeak:    "a vacuum seat that leaks between the chambers",
	sim.FaultAirSeatLeak:       "an air seat that lets air in with the pedal at rest",
	sim.FaultFilterBlocked:     "a blocked air filter",
	sim.FaultLowSourceVacuum:   "too little vacuum from the source",
	sim.FaultBoosterUndersized: "a booster smaller than it should be",
	sim.FaultPedalRatioWrong:   "a pedal ratio shorter than it should be",
	sim.FaultBoreOversize:      "a master cylinder with too large a bore",
	sim.FaultPushrodTooLong:    "a pushrod that is too long",
	sim.FaultAirInCircuit:      "air in a circuit",

	sim.FaultCheckValveStuck:      "a check valve stuck shut",
	sim.FaultPedalBinds:           "a pedal that binds on its pivot",
	sim.FaultPushrodTooShort:      "a pushrod that is too short",
	sim.FaultMasterBypass:         "a master cylinder that passes its own seals",
	sim.FaultReturnPortCovered:    "a return port that stays covered",
	sim.FaultOutsideLeak:          "a leak of brake fluid to the outside",
	sim.FaultFluidBoiled:          "brake fluid that has boiled",
	sim.FaultHoseSwollen:          "a brake hose that bulges",
	sim.FaultHoseBlocked:          "a brake hose closed inside, which holds pressure back",
	sim.FaultLineBlocked:          "a crushed or blocked brake line",
	sim.FaultCaliperSeized:        "a seized caliper",
	sim.FaultLiningsGlazed:        "glazed or wet linings",
	sim.FaultShoesOutOfAdjustment: "shoes out of adjustment",
}
