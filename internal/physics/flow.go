package physics

import (
	"math"

	"kneepoint/internal/portable"
)

// Reference state and critical ratio of ISO 6358-1 (published text), and the
// sonic conductance of an ideal nozzle for each square metre of effective area
// in m³/(s Pa), which follows from Gamma and GasConstant.
const (
	ReferenceDensity     = 1.185  // kg/m³ at 100 kPa and 293.15 K
	ReferenceTemperature = 293.15 // K
	CriticalRatio        = 0.5    // b, estimate for short passages and valves
	NozzleConductance    = 1.992e-3
)

// laminar is the width of the linear branch in z, the square of the flow
// function: at ambient pressure some 0.5 kPa. Without it the slope at equal
// pressures is infinite and an integrator crawls there.
const laminar = 0.02

var laminarScale = portable.Pow(1+laminar*laminar, 0.25)

// MassFlow returns the flow in kg/s, positive from side 1 to side 2, of air through a
// passage of sonic conductance c in m³/(s Pa), after ISO 6358 with CriticalRatio,
// between the pressures p1 and p2 in Pa with the temperatures t1 and t2 in K. The last
// percent of the pressure ratio is laminar.
func MassFlow(c, p1, t1, p2, t2 float64) float64 {
	if p1 >= p2 {
		return ChokedFlow(c, p1, t1) * FlowShare(p1, p2)
	}
	return -ChokedFlow(c, p2, t2) * FlowShare(p2, p1)
}

// FlowSlopes returns the flow in kg/s through a sonic conductance of 1 from air at p1
// to air at the pressure p2, not above p1, with its partial derivatives by the two
// pressures in Pa and by the upstream temperature t1 in K. choked is
// ChokedFlow(1, p1, t1), which whoever asks for slopes has at hand.
func FlowSlopes(p1, t1, choked, p2 float64) (m, byP1, byP2, byT1 float64) {
	byTotal := 1 / p1
	r := p2 * byTotal
	if r <= CriticalRatio {
		return choked, choked * byTotal, 0, -0.5 * choked / t1
	}
	u := (r - CriticalRatio) / (1 - CriticalRatio)
	z := 1 - u*u
	w := z*z + laminar*laminar
	byRoot := 1 / math.Sqrt(w)
	q := laminarScale * math.Sqrt(byRoot)
	g := z * q
	byR := q * (0.5*z*z + laminar*laminar) * byRoot * byRoot * (-2 * u / (1 - CriticalRatio))
	m, k := choked*g, choked*byTotal
	return m, k * (g - r*byR), k * byR, -0.5 * m / t1
}

// ChokedFlow is the largest flow in kg/s through a conductance c in m³/(s Pa) from
// air at p in Pa and t in K.
func ChokedFlow(c, p, t float64) float64 {
	return c * p * ReferenceDensity * math.Sqrt(ReferenceTemperature/t)
}

// chokedByRoot is ChokedFlow(1, ...) of a gas over the root of its mass times its energy,
// times its volume.
var chokedByRoot = (Gamma - 1) * ReferenceDensity * math.Sqrt(ReferenceTemperature*HeatAtVolume)

// ChokedFlowOf is ChokedFlow(1, p, t) of so many kg of air with an internal energy in J,
// perVolume for each m³: pressure and temperature in one root.
func ChokedFlowOf(mass, energy, perVolume float64) float64 {
	return chokedByRoot * perVolume * math.Sqrt(mass*energy)
}

// FlowShare is the flow from the pressure p1 to p2, not above p1, over the choked flow:
// from 0 to 1. It is the flow function of p2/p1, as FlowSlopes has it, with one division
// for all.
func FlowShare(p1, p2 float64) float64 {
	if p2 <= CriticalRatio*p1 {
		return 1
	}
	z := (p1 - p2) * (p2 + (1-2*CriticalRatio)*p1) * (1 / ((1 - CriticalRatio) * (1 - CriticalRatio)))
	w := laminar * p1 * p1
	return laminarScale * z / (p1 * math.Sqrt(math.Sqrt(z*z+w*w)))
}
