// Package sourcenote says what has to be known about a source's vacuum before any verdict
// on it: that it is taken as read at altitude, and that it is less than boosters want.
package sourcenote

import (
	"fmt"
	"math"

	"kneepoint/internal/physics"
	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// higherUp is the difference from the pressure at sea level that is worth a word: an
// inch of mercury, twice what a gauge shows.
const higherUp si.Pressure = si.InchOfMercury

// A Note is what has to be known about the source's vacuum before any verdict
// on it. The zero value has nothing to say.
type Note struct {
	source  sim.Source
	ambient si.Pressure
	// altitude does not exist where the air pressure was given instead.
	altitude answer.Optional[si.Length]
	// AsRead says that the engine's vacuum is taken as read at an altitude, or an
	// air pressure, that is not that of sea level.
	AsRead bool
	// idle is the source's vacuum where the car is.
	idle si.Vacuum
	// pumpOff is what a pump fills the booster to, zero without one.
	pumpOff si.Vacuum
}

// On looks at a scenario's source.
func On(s *scenario.Scenario) Note {
	c := s.Config
	if c.Booster.Kind == sim.BoosterNone {
		return Note{}
	}
	n := Note{source: c.Source, ambient: c.Ambient.Pressure, idle: c.SourceVacuum()}
	if c.Source.Kind == sim.SourceBench {
		n.idle = c.Source.Vacuum
	}
	if h, ok := s.Altitude(); ok {
		n.altitude = answer.Of(h)
	}
	if c.Pump.FreeFlow > 0 {
		n.pumpOff = c.Pump.Off
	}
	_, _, estimated := s.EstimatedVacuum()
	n.AsRead = c.Source.Kind == sim.SourceEngine && !estimated && n.elsewhere() &&
		!s.IsSet(scenario.KeySourceMeasuredAt) && !s.IsSet(scenario.KeySourceMeasuredPressure)
	return n
}

// elsewhere says that the car is not at sea level, or in weather far from the usual.
func (n Note) elsewhere() bool {
	return math.Abs(float64(physics.SeaLevelPressure-n.ambient)) > float64(higherUp)
}

// Words say, one sentence or two each, what there is to say. There are none where the
// vacuum is neither in doubt nor low, or where there is no booster.
func (n Note) Words(u si.System) []string {
	var words []string
	for _, text := range []string{n.AltitudeWords(u), n.lowWords(u)} {
		if text != "" {
			words = append(words, text)
		}
	}
	return words
}

// AltitudeWords say that a vacuum without a place is taken as read where the car is,
// and what an engine that keeps its absolute manifold pressure would have here of the
// same reading at sea level.
func (n Note) AltitudeWords(u si.System) string {
	if !n.AsRead {
		return ""
	}
	where := fmt.Sprintf("at this air pressure (%s)", si.FormatGas(n.ambient, u))
	if n.altitude.Exists() {
		where = fmt.Sprintf("at this altitude (%s)", si.Format(si.DimLength, float64(n.altitude.Value()), u))
	}
	// What reads so at sea level need not be possible here, and the other way round.
	have := fmt.Sprintf("the engine has some %s here", si.Show(n.here(n.source.Vacuum), u))
	if n.here(n.source.Vacuum) == 0 {
		have = "nothing is left of it here"
	}
	return fmt.Sprintf("%s is taken as read %s. If it was read at sea level, %s: say where it was read, or read it again here.",
		si.Show(n.source.Vacuum, u), where, have)
}

// here is the vacuum where the car is of an engine that has v at sea level.
func (n Note) here(v si.Vacuum) si.Vacuum {
	return max(0, n.ambient.Vacuum(v.Below(physics.SeaLevelPressure)))
}

// lowWords are LowVacuumWords for the source's own vacuum.
func (n Note) lowWords(u si.System) string {
	if n.ambient == 0 {
		return ""
	}
	return n.LowVacuumWords(n.idle, u)
}

// LowVacuumWords say that a source's vacuum is less than boosters are expected to
// want; it is empty where it is not, to what a gauge shows, or where a pump makes up
// for it. What this booster needs on its car is another matter, and computed.
func (n Note) LowVacuumWords(v si.Vacuum, u si.System) string {
	const halfAStep = 0.25 * si.InchOfMercury
	if max(v, n.pumpOff) > verdict.UsualVacuumFrom-halfAStep {
		return ""
	}
	text := fmt.Sprintf("%s is less than boosters are expected to want, some %s at idle", si.Show(v, u),
		si.FormatSpan(si.DimVacuum, float64(verdict.UsualVacuumFrom), float64(verdict.UsualVacuumTo), u))
	if v < verdict.HardPedalBelow {
		text += fmt.Sprintf(", and a hard pedal is common below about %s", si.Show(verdict.HardPedalBelow, u))
	}
	text += " (common practice, no source)."
	if n.source.Kind == sim.SourceEngine && n.elsewhere() && n.ambient < physics.SeaLevelPressure {
		text += fmt.Sprintf(" Of an engine that has that at sea level, %s is left here.",
			si.FormatSpan(si.DimVacuum, float64(n.here(verdict.UsualVacuumFrom)), float64(n.here(verdict.UsualVacuumTo)), u))
	}
	return text
}
