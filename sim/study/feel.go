package study

import (
	"context"
	"slices"

	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// Feel is how the pedal of one car goes down, beside the sound one.
type Feel struct {
	Name string `json:"case"`
	// Travel and Force are those of a firm press, firmLine in the line; Bite the
	// travel at which the brakes begin to bite.
	Bite   answer.Optional[si.Length] `json:"pedal_travel_at_bite_m"`
	Travel answer.Optional[si.Length] `json:"pedal_travel_m"`
	Force  answer.Optional[si.Force]  `json:"pedal_n"`
	// Rate is the travel for each pressure between the two.
	Rate answer.Optional[float64] `json:"travel_rate_m_per_pa"`
	// PerMPa is the same for each megapascal, and More the travel beyond the sound
	// car's: what a table shows.
	PerMPa answer.Optional[si.Length] `json:"travel_per_mpa_m"`
	More   answer.Optional[si.Length] `json:"more_travel_m"`
	// Kind is "sound" for the sound car; beside it "soft", "hard", "soft and hard",
	// "firmer", "never firm" or "as sound".
	Kind string `json:"feel"`
}

// firmLine is the line pressure of a firm press, Bite that at which the brakes
// begin to bite (estimates).
const (
	firmLine si.Pressure = 5e6
	biteLine si.Pressure = 0.5e6
)

// What tells a soft pedal from a hard one: so much more travel, or force, for
// the same line pressure than in the sound car (estimates).
const (
	softTravel = 1.2
	hardForce  = 1.3
)

// someAir is the severity of the air-in-circuit fault that is put beside the
// sound car: 2 cm³.
const someAir si.Ratio = 0.2

// feelCase is one car to press.
type feelCase struct {
	name   string
	config sim.Config
	dry    bool // without vacuum
}

// feelCases are the scenario's car without its faults first, then what can make
// its pedal soft or hard.
func feelCases(s *scenario.Scenario) []feelCase {
	sound := whole(s.Config)
	sound.Faults = nil
	cases := []feelCase{{name: "sound", config: sound}}
	if len(s.Config.Faults) > 0 || hasLost(&s.Config) {
		cases = append(cases, feelCase{name: "as it is, with its faults", config: s.Config})
	}
	other, name := sim.HosesBraided, "braided hoses"
	if sound.Front.Hoses == sim.HosesBraided {
		other, name = sim.HosesRubber, "rubber hoses"
	}
	changed := sound
	changed.Front = sound.Front.WithHoses(other, sim.FrontHoses)
	changed.Rear = sound.Rear.WithHoses(other, sim.RearHoses)
	airy := sound
	airy.Faults = slices.Concat(airy.Faults, []sim.Fault{{Name: sim.FaultAirInCircuit, Severity: someAir}})
	cases = append(cases, feelCase{name: name, config: changed}, feelCase{name: "2 cm³ of air in the front circuit", config: airy})
	if sound.Booster.Kind != sim.BoosterNone {
		cases = append(cases, feelCase{name: "booster without vacuum", config: sound, dry: true})
	}
	return cases
}

func feels(ctx context.Context, s *scenario.Scenario, w Watch) ([]Feel, error) {
	var out []Feel
	cases := feelCases(s)
	for i, c := range cases {
		w.Tell(i, len(cases))
		m, err := model(ctx, c.config)
		if err != nil {
			return nil, err
		}
		session := m.Start()
		if !c.dry {
			if session, err = (&parkedCar{m: m}).atRest(ctx); err != nil {
				return nil, err
			}
		}
		states, err := pressHard(ctx, session)
		if err != nil {
			return nil, err
		}
		f := Feel{
			Name:   c.name,
			Bite:   answer.Of(si.Length(where(states, frontOf, travelOf, float64(biteLine)))),
			Travel: answer.Of(si.Length(where(states, frontOf, travelOf, float64(firmLine)))),
			Force:  answer.Of(si.Force(where(states, frontOf, pedalOf, float64(firmLine)))),
			Kind:   "sound",
		}
		f.Rate = answer.Of(float64(f.Travel.Value()-f.Bite.Value()) / float64(firmLine-biteLine))
		f.PerMPa = answer.Of(si.Length(f.Rate.Value() * 1e6))
		sound := &f
		if i > 0 {
			sound = &out[0]
			f.Kind = f.kind(sound)
		}
		f.More = answer.Of(f.Travel.Value() - sound.Travel.Value())
		out = append(out, f)
	}
	return out, nil
}

// kind tells a soft pedal from a hard one. One that never gets to the firm
// press goes to the floor.
func (f *Feel) kind(sound *Feel) string {
	if !f.Travel.Exists() {
		return "never firm"
	}
	soft := f.Travel.Value() > softTravel*sound.Travel.Value()
	hard := f.Force.Value() > hardForce*sound.Force.Value()
	switch {
	case soft && hard:
		return "soft and hard"
	case soft:
		return "soft"
	case hard:
		return "hard"
	case f.Travel.Value()*softTravel < sound.Travel.Value() || f.Rate.Value()*softTravel < sound.Rate.Value():
		return "firmer"
	}
	return "as sound"
}
