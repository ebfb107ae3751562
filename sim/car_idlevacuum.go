package sim

import (
	"math"

	"kneepoint/internal/physics"
	"kneepoint/sim/si"
)

// A Cam is what a cam card says, one figure for intake and exhaust.
type Cam struct {
	// Duration is in degrees of crank angle at 0.050 in of tappet lift.
	Duration float64
	// LobeSeparation is the angle between the lobes' centres, in degrees of the cam.
	LobeSeparation float64
	// Lift is the greatest lift of the valve.
	Lift si.Length
	// IntakeValve is the diameter of the intake valve's head.
	IntakeValve si.Length
}

// An IdlingEngine is what the vacuum of an idling engine hangs on.
type IdlingEngine struct {
	Cam          Cam
	Displacement si.Volume
	Cylinders    int
	Bore         si.Length
	Compression  si.Ratio
	IdleSpeed    si.Rotation
}

// WithUsualParts returns the engine with what was not given, being zero, in the
// usual proportions of a classic V8 (estimates): lobes 110 degrees apart, eight
// cylinders with a bore 1.15 times the stroke, an intake valve of 0.48 bores, a
// lift of a quarter of the valve. The displacement has to be given.
func (e IdlingEngine) WithUsualParts() IdlingEngine {
	if e.Cam.LobeSeparation == 0 {
		e.Cam.LobeSeparation = 110
	}
	if e.Cylinders == 0 {
		e.Cylinders = 8
	}
	if e.Bore == 0 {
		const overStroke = 1.15
		bore := math.Cbrt(4 / math.Pi * overStroke * float64(e.Displacement) / float64(e.Cylinders))
		e.Bore = neat(si.Length(bore), millimetre, 10)
	}
	if e.Cam.IntakeValve == 0 {
		e.Cam.IntakeValve = neat(0.48*e.Bore, millimetre, 10)
	}
	if e.Cam.Lift == 0 {
		e.Cam.Lift = e.Cam.IntakeValve / 4
	}
	return e
}

// An idling engine out of gear (estimates).
const (
	rampsDuration    = 50.0  // degrees that a lobe is longer at 0.15 mm than at 0.050 in
	idleFrictionPart = 0.85  // of the friction of a loaded engine with an open throttle
	idleEfficiency   = 0.30  // indicated, before pumping, of a charge without burned gas
	slowBurning      = 0.7   // share of it that burned gas takes, for its own share of the charge
	freshTemperature = 340.0 // K, of the charge once past the hot port
	burnedIdleTemp   = 900.0 // K, of the gas that stays or comes back
	crankOverRod     = 0.29
	airToFuel        = 14.7
	heatingValue     = 44e6 // J/kg of petrol
	leastIdleShare   = 0.1  // of the ambient pressure, below any engine's idle
)

// EstimateIdleVacuum says between which vacua the engine idles, out of gear and
// with nothing to drive, at the ambient pressure where it stands. It looks for the
// intake pressure at which the charge that is trapped, after what the burned gas
// takes of its room, burns for no more than the friction and the pumping.
//
// It is an estimate for want of a measurement: the band is ±2 inHg for a cam
// without much overlap and ±3 inHg for a big one, and never reaches below zero.
// The engine's fields have to be positive.
func EstimateIdleVacuum(e IdlingEngine, ambient si.Pressure) (low, high si.Vacuum) {
	middle := ambient.Vacuum(e.idlePressure(ambient))
	half := e.vacuumDoubt()
	return max(0, middle-half), min(middle+half, si.Vacuum((1-leastIdleShare/2)*ambient))
}

// overlap is in degrees of crank angle, between valve lifts of 0.15 mm.
func (e IdlingEngine) overlap() float64 {
	return max(0, e.Cam.Duration+rampsDuration-2*e.Cam.LobeSeparation)
}

// vacuumDoubt is half the width of the band (estimate): the more overlap, the
// further the fit of the burned gas is stretched.
func (e IdlingEngine) vacuumDoubt() si.Vacuum {
	const little, much = 20.0, 80.0 // degrees
	stretched := min(1, max(0, (e.overlap()-little)/(much-little)))
	return si.Vacuum(2+stretched) * inHg
}

// idlePressure is the absolute pressure in the manifold; the ambient's, if that is
// not enough to keep the engine running.
func (e IdlingEngine) idlePressure(ambient si.Pressure) si.Pressure {
	// The more pressure, the more charge there is, and the less is needed.
	low, high := leastIdleShare*ambient, ambient
	for range 50 {
		if p := (low + high) / 2; e.surplus(p, ambient) > 0 {
			high = p
		} else {
			low = p
		}
	}
	return high
}

// surplus is the charge that is trapped at the intake pressure p beyond what
// idling takes, in kg of air for each m³ of displacement.
func (e IdlingEngine) surplus(p, ambient si.Pressure) float64 {
	factor := physics.OverlapFactor(e.overlap(), e.Cam.Lift, e.Cam.IntakeValve, e.Bore)
	burned := physics.ResidualFraction(factor, e.IdleSpeed, p, ambient, e.Compression)
	temperature := (1-burned)*freshTemperature + burned*burnedIdleTemp
	charge := (1 - burned) * e.closingVolume() * float64(p) / (physics.GasConstant * temperature)
	air := charge * airToFuel / (1 + airToFuel)

	load := idleFrictionPart*float64(physics.FrictionPressure(e.IdleSpeed)) + float64(ambient-p)
	efficiency := idleEfficiency * (1 - slowBurning*burned)
	return air - load/(efficiency*heatingValue)*airToFuel
}

// closingVolume is the cylinder's volume when the intake valve closes, over the
// displacement: what the piston has pushed out again before that is not trapped.
// The valve counts as closed at 0.050 in, and the cam stands straight up: its
// intake lobe is as far after top dead centre as half the lobes are apart.
func (e IdlingEngine) closingVolume() float64 {
	afterBottom := (e.Cam.LobeSeparation + e.Cam.Duration/2 - 180) * math.Pi / 180
	sin, cos := math.Sincos(afterBottom)
	swept := (1+cos)/2 + crankOverRod/4*sin*sin
	return swept + 1/(float64(e.Compression)-1)
}
