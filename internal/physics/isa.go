package physics

import (
	"kneepoint/internal/portable"
	"kneepoint/sim/si"
)

// SeaLevelPressure is the ISA's pressure at its datum (ISO 2533, published text).
const SeaLevelPressure si.Pressure = 101325

// PressureAt returns the ISA's air pressure at a geopotential altitude within
// the troposphere (-2 to 11 km; ISO 2533). Weather moves it by some ±3 %.
func PressureAt(altitude si.Length) si.Pressure {
	const (
		lapse    = 0.0065   // K/m
		t0       = 288.15   // K
		exponent = 5.255880 // g0/(R lapse), with g0 9.80665 and R 287.05287
	)
	return SeaLevelPressure * si.Pressure(portable.Pow(1-lapse*float64(altitude)/t0, exponent))
}
