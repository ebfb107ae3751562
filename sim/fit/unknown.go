package fit

import (
	"strings"

	"kneepoint/internal/portable"
	"kneepoint/sim"
	"kneepoint/sim/gaugelog"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// StartVacuum names the vacuum in the booster where a log begins. It is always an
// unknown: the first reading has the scatter of any other, and all later ones hang on it.
const StartVacuum = "start-vacuum"

// unknown is one quantity on the scale on which it is searched: a change of 1 is a
// large one, and 0 is the start. What is positive goes by its logarithm.
type unknown struct {
	scenario.Unknown
	start     float64
	low, high float64
	linear    float64 // what 1 is, in SI; 0 for the logarithm
	asked     bool
	log       int  // whose own it is, or ofCar
	added     bool // proposed by the program
	found     bool // the search begins at a leak that the scenario has not
}

const ofCar = -1

// What a large change of an offset is, in Pa.
const (
	largeVacuum = 5e3
	largeLine   = 0.5e6
)

func (u *unknown) value(x float64) float64 {
	if u.linear > 0 {
		return u.start + u.linear*x
	}
	return u.start * portable.Exp(x)
}

func (u *unknown) scaled(v float64) float64 {
	if u.linear > 0 {
		return (v - u.start) / u.linear
	}
	return portable.Log(v / u.start)
}

// slope is the change of the value with the scaled one.
func (u *unknown) slope(x float64) float64 {
	if u.linear > 0 {
		return u.linear
	}
	return u.value(x)
}

// isLeak says that it is the area of a fault.
func (u *unknown) isLeak() bool {
	return u.Dim == si.DimArea && (u.Fault != "" || strings.HasPrefix(u.Path, "fault["))
}

// Limits of a search, where the model sets none.
const (
	mostChange  = 1e9 // of a positive quantity, as a factor
	mostOffset  = 20e3
	mostLineOff = 2e6
	mostRunning = 3600 // s
	// absent is the leak at which the search for one begins that the scenario has not;
	// leastLeak and mostLeak are those between which it looks for a better beginning.
	absent    = 0.3e-6 // m²
	leastLeak = 0.003e-6
	mostLeak  = 30e-6
	leakTries = 9
)

// unknownOf puts an unknown of a scenario on its scale, with the limits that the check
// of a configuration has.
func unknownOf(s *scenario.Scenario, u scenario.Unknown) unknown {
	out := unknown{Unknown: u, start: u.Value, asked: true, log: ofCar}
	if h, ok := habitUnknowns[u.Name]; ok {
		out.linear, out.low, out.high = h.large, h.low, h.high
		return out
	}
	if u.Name == scenario.EngineStops {
		out.linear, out.high = 1, mostRunning
		return out
	}
	if u.Fault != "" {
		switch u.Fault.Measure() {
		case sim.FaultByArea:
			out.start = absent
		default:
			out.start = 0.5
		}
	}
	possible := func(v float64) bool {
		_, err := s.WithUnknowns([]scenario.Unknown{u}, []float64{v})
		return err == nil
	}
	out.low = limit(out.start, 1/mostChange, possible)
	out.high = limit(out.start, mostChange, possible)
	return out
}

// limit is the last possible value from the start to a factor of it.
func limit(start, factor float64, possible func(float64) bool) float64 {
	if possible(start * factor) {
		return start * factor
	}
	in, out := 0.0, 1.0
	const halvings = 24
	for range halvings {
		if mid := (in + out) / 2; possible(start * portable.Pow(factor, mid)) {
			in = mid
		} else {
			out = mid
		}
	}
	return start * portable.Pow(factor, in)
}

// startUnknown is the vacuum where the log begins.
func startUnknown(v si.Vacuum, c *sim.Config, log int) unknown {
	const most = 0.98
	high := most * float64(c.Ambient.Pressure)
	return unknown{
		Unknown: scenario.Unknown{Name: StartVacuum, Dim: si.DimVacuum},
		start:   min(max(float64(v), 0), high), high: high, linear: largeVacuum, log: log,
	}
}

// pressed is a pedal force from which a log shows a press.
const pressedFrom = 30.0

// usualUnknowns is what is looked for if nothing is asked, and why.
func usualUnknowns(s *scenario.Scenario, logs []*drive) (names []string, why string) {
	var hasVacuum, runs, hasLine bool
	mostForce := 0.0
	for _, d := range logs {
		hasVacuum, runs = hasVacuum || d.hasVacuum, runs || d.runs()
		hasLine = hasLine || d.log.Column(gaugelog.Line) >= 0
		mostForce = max(mostForce, d.mostForce)
	}
	if s.Config.Booster.Kind == sim.BoosterNone {
		return []string{scenario.KeyPedalRatio}, "without a booster, the pedal ratio is what the line shows"
	}
	leak := string(sim.FaultFrontShellLeak)
	for _, f := range s.Config.Faults {
		if f.Name.Measure() == sim.FaultByArea {
			leak = string(f.Name)
			break
		}
	}
	if hasVacuum {
		names = append(names, leak)
		why = "a pedal at rest shows a leak only for the volume it empties, which is taken from the scenario"
	}
	if mostForce > pressedFrom && hasVacuum {
		names = append(names, scenario.KeyBoosterFrontVolume)
		why = "each press lets a known amount of air in, so that the volume shows beside the leak"
	}
	if mostForce > pressedFrom && hasLine {
		names = append(names, scenario.KeyBoosterRatio, scenario.KeyBoosterJumpIn)
		if why != "" {
			why += "; "
		}
		why += "the line pressure under a known foot shows the boost ratio and the jump-in"
	}
	if runs {
		names = append(names, scenario.KeySourceVacuum)
		why += "; with the engine running the vacuum settles to its own"
	}
	return names, why
}
