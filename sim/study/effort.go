package study

import "kneepoint/sim/si"

// What a pedal force means to a driver (common practice, no source).
const (
	EasyPedal  si.Force = 60 * si.PoundForce
	HeavyPedal si.Force = 100 * si.PoundForce
)

// HardStop is a line pressure at which a car with discs in front stops hard
// (common practice, no source: some 800 to 1200 psi).
const HardStop si.Pressure = 1000 * si.PoundPerSquareInch

// Effort says in words what a pedal force means to a driver.
func Effort(f si.Force) string {
	switch {
	case f <= EasyPedal:
		return "easy"
	case f <= HeavyPedal:
		return "heavy"
	}
	return "beyond many drivers"
}

func pedal(f si.Force, u si.System) string       { return si.Format(si.DimForce, float64(f), u) }
func pressure(p si.Pressure, u si.System) string { return si.Format(si.DimPressure, float64(p), u) }
func vacuum(v si.Vacuum, u si.System) string     { return si.Format(si.DimVacuum, float64(v), u) }
