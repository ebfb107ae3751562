package verdict

import (
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// EverydayStop is the deceleration that the stops of a series ask for where nothing
// else was asked: firm, and well below what locks a wheel on a dry road (estimate). It
// is the same for every car, so that two can be compared.
const EverydayStop si.Acceleration = 0.5 * si.StandardGravity

// ChosenStop is the deceleration that a choice of parts asks for where nothing else
// was asked (estimate).
const ChosenStop si.Acceleration = 0.6 * si.StandardGravity

// RuleOfThumbFrom and RuleOfThumbTo are the line pressures between which a hard stop
// of a car with discs in front is said to lie (common practice, no source). They stand
// beside a verdict and are never one: what this car needs is [FirstLock].
const (
	RuleOfThumbFrom si.Pressure = 800 * si.PoundPerSquareInch
	RuleOfThumbTo   si.Pressure = 1200 * si.PoundPerSquareInch
)

// StopLag is the time before the brakes work that the regulations' formula
// S = 0.10 V + k V², with V in km/h and S in m, contains: 0.10 × 3.6 s.
const StopLag si.Time = 0.36

// leastBraking is the deceleration, in m/s², below which brakes count as gone:
// a stop from 100 km/h would take four kilometres.
const leastBraking = 0.1

// StoppingDistance is that of a stop from a speed with a steady deceleration
// after the lag: S = v·lag + v²/(2a). A car that does not slow never stops.
func StoppingDistance(v si.Speed, a si.Acceleration) answer.Optional[si.Length] {
	if !(float64(a) > leastBraking) {
		return answer.None[si.Length]()
	}
	return answer.Of(si.Length(float64(v)*float64(StopLag) + float64(v)*float64(v)/(2*float64(a))))
}

// SteadyDeceleration is that of S = 0.10 V + k V²: 1/(2·3.6² k).
func SteadyDeceleration(k float64) si.Acceleration { return si.Acceleration(1 / (25.92 * k)) }
