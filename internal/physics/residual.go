package physics

import (
	"math"

	"kneepoint/internal/portable"
	"kneepoint/sim/si"
)

// OverlapFactor returns how much the valve overlap lets back, in degrees of
// crank angle per metre: the time-area of the overlap over the displacement
// (Fox, Cheng and Heywood 1993, SAE 931025, from memory). The overlap is in
// degrees of crank angle between valve lifts of 0.15 mm; the lift is the
// valve's greatest, the valve is the inlet's diameter.
func OverlapFactor(overlap float64, lift, valve, bore si.Length) float64 {
	b := float64(bore) * 1e3 // the fit takes the bore in mm
	share := float64(lift) * float64(valve) / (float64(bore) * float64(bore))
	return 1.45 / b * (107 + overlap*(7.8+overlap)) * share
}

// ResidualFraction returns the mass of burned gas that stays in the cylinder, as
// a share of all that is trapped, for a stoichiometric charge: what flows back
// during the overlap, and what the clearance volume keeps (Fox, Cheng and Heywood
// 1993, SAE 931025, from memory). It is a fit to one ordinary engine of its day:
// with the overlap of a big cam it is stretched. It is cut off at 1. The intake
// is at most at the exhaust's pressure.
func ResidualFraction(overlapFactor float64, speed si.Rotation, intake, exhaust si.Pressure, compression si.Ratio) float64 {
	ratio := float64(intake / exhaust)
	drop := math.Max(0, float64(exhaust-intake)/si.Bar)
	back := 1.266 * overlapFactor / float64(speed) * portable.Pow(ratio, -0.87) * math.Sqrt(drop)
	kept := 0.632 * portable.Pow(ratio, -0.74) / float64(compression)
	return math.Min(1, back+kept)
}

// FrictionPressure returns the friction mean effective pressure of a
// four-stroke petrol engine, with the pumping of an open throttle in it (the
// correlation of Barnes-Moss as in Heywood's textbook, from memory).
func FrictionPressure(speed si.Rotation) si.Pressure {
	n := float64(speed) * si.Minute / 1000
	return si.Pressure(1e3 * (97 + n*(15+5*n)))
}
