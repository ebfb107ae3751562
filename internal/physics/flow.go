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
		return ChokedFlow(c, p1, t1) * FlowShare(p2/p1)
	}
	return -ChokedFlow(c, p2, t2) * FlowShare(p1/p2)
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

// FlowShare is the flow over the choked flow where the downstream pressure is r
// times the upstream one, from 0 to 1.
func FlowShare(r float64) float64 {
	if r <= CriticalRatio {
		return 1
	}
	u := (r - CriticalRatio) / (1 - CriticalRatio)
	z := 1 - u*u
	return laminarScale * z / math.Sqrt(math.Sqrt(z*z+laminar*laminar))
}
