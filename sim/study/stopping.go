package study

import (
	"math"

	"kneepoint/internal/verdict"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// A Requirement is what a standard asks of a car, sound or with something failed.
type Requirement struct {
	Name string `json:"requirement"`
	// About is what it looks at: "booster failed".
	About string `json:"about"`
	Trust string `json:"trust"`
	// The standard sets a distance or a deceleration; the other does not exist.
	Distance     answer.Optional[si.Length]       `json:"distance_m"`
	Deceleration answer.Optional[si.Acceleration] `json:"deceleration_mps2"`
	PedalLimit   si.Force                         `json:"pedal_limit_n"`
	// of are the failures that it looks at.
	of []failure
}

// needs is the steady deceleration that meets the requirement from stopFrom.
func (q *Requirement) needs() float64 {
	if q.Deceleration.Exists() {
		return float64(q.Deceleration.Value())
	}
	v := float64(stopFrom)
	return v * v / (2 * (float64(q.Distance.Value()) - v*float64(verdict.StopLag)))
}

const (
	stopFrom   si.Speed = 100 / 3.6
	testPedal           = verdict.LegalPedal
	fromMemory          = "from memory"
	secondary           = "secondary copy"
)

// requirements are those of FMVSS 135 and UN R13-H for cars, from 100 km/h with
// at most 500 N at the pedal. The coefficients k of R13-H are 0.0060 with the
// engine disconnected and 0.0158 for what is left after a failure; its 0.0067
// (5.76 m/s²) holds from near top speed with the engine connected, which is not
// looked at here.
func requirements() []Requirement {
	fmvss := func(paragraph, about string, distance si.Length, trust string, of ...failure) Requirement {
		return Requirement{Name: "FMVSS 135 " + paragraph, About: about, Trust: trust, Distance: answer.Of(distance), PedalLimit: testPedal, of: of}
	}
	r13 := func(about string, k float64, of ...failure) Requirement {
		return Requirement{Name: "UN R13-H", About: about, Trust: secondary,
			Deceleration: answer.Of(si.Acceleration(math.Round(100*float64(verdict.SteadyDeceleration(k))) / 100)), PedalLimit: testPedal, of: of}
	}
	return []Requirement{
		fmvss("S7.5", "cold effectiveness", 70, fromMemory, nothingFailed),
		fmvss("S7.7", "engine off", 70, fromMemory, engineDead),
		fmvss("S7.10", "hydraulic circuit failed", 168, fromMemory, frontLost, rearLost, alreadyLost),
		fmvss("S7.11.4", "booster failed", 168, secondary, noVacuum, stopsUsed),
		r13("service braking", 0.0060, nothingFailed),
		r13("after a failure", 0.0158, noVacuum, stopsUsed, frontLost, rearLost, alreadyLost),
	}
}
