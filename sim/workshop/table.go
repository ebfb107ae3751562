package workshop

import (
	"fmt"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// tests is the table of workshop tests. Another test is another entry, with a line in
// [scenario.TestForms].
var tests = withForms([]*test{
	{
		name:     scenario.ManifoldVacuum,
		how:      says("Engine warm and idling, in gear with the wheels chocked if it is read so; gauge at the manifold."),
		simulate: (*Rig).manifoldVacuum,
		atGauge:  true,
		gauge:    needle,
		unlike:   spread{some: 300},
		most:     ambient,
		minutes:  minutes(3),
		adds:     factors,
	},
	{
		name:     scenario.BoosterVacuum,
		how:      says("Engine idling, gauge at the booster's end of the hose, before the check valve, pedal free."),
		simulate: (*Rig).boosterVacuum,
		atGauge:  true,
		gauge:    needle,
		unlike:   spread{some: 300},
		most:     ambient,
		minutes:  minutes(4),
		adds:     factors,
	},
	{
		name: scenario.LeakDown,
		recommended: func(s suited) []Conditions {
			return []Conditions{{Vacuum: s.vacuum, Lasts: s.lasts}, {Pedal: s.held, Vacuum: s.vacuum, Lasts: s.lasts}}
		},
		words: func(c Conditions, u si.System) string {
			held := "pedal free"
			if c.Pedal > 0 {
				held = si.Show(c.Pedal, u) + " held"
			}
			return fmt.Sprintf("leak-down, %s, %s from %s", held, si.Seconds(c.Lasts), c.fineVacuum(u))
		},
		how: func(c Conditions, u si.System) string {
			if c.Pedal > 0 {
				return fmt.Sprintf("Gauge at the booster. Press to %s with the vacuum on and hold; shut the vacuum off with %s on the gauge; read what is lost in %s.",
					si.Show(c.Pedal, u), c.fineVacuum(u), si.Seconds(c.Lasts))
			}
			return fmt.Sprintf("Gauge at the booster, pedal free. Shut the vacuum off with %s on the gauge; read what is lost in %s.",
				c.fineVacuum(u), si.Seconds(c.Lasts))
		},
		simulate: (*Rig).leakDown,
		gauge:    difference,
		unlike:   spread{200, 0.04},
		most:     func(c Conditions, _ float64, _ *sim.Config) float64 { return float64(c.Vacuum) },
		minutes: func(c Conditions) float64 {
			if c.Pedal > 0 {
				return 6
			}
			return 5
		},
		adds: leaks,
	},
	{
		name:     scenario.StopsLeft,
		how:      says("Engine off after a minute at idle. Pump as for a normal stop, a few seconds apart; count the pumps before the one that is hard."),
		simulate: (*Rig).stopsLeft,
		gauge:    counting,
		unlike:   spread{0.2, 0.03},
		most:     upTo(MostStops),
		minutes:  minutes(4),
		adds:     factors,
	},
	{
		name:     scenario.PedalDropsOnStart,
		how:      says("Engine off, pump until the pedal is hard, keep a light foot on it and start the engine: does the pedal go down by a finger's breadth?"),
		simulate: (*Rig).dropsOnStart,
		gauge:    felt,
		unlike:   spread{1e-3, 0.1},
		most:     ambient,
		minutes:  minutes(2),
		adds:     factors,
	},
	{
		name: scenario.LinePressure,
		// Below and beyond the knee of the sound car.
		recommended: func(s suited) []Conditions {
			return []Conditions{{Pedal: s.hard}, {Pedal: s.firm, Vacuum: s.vacuum}, {Pedal: s.hard, Vacuum: s.vacuum}}
		},
		words: atVacuum(scenario.LinePressure),
		how: func(c Conditions, u si.System) string {
			if c.Vacuum == 0 {
				return fmt.Sprintf("Gauge in a front brake line, engine off, booster pumped empty. Press to %s and read.", si.Show(c.Pedal, u))
			}
			return fmt.Sprintf("Gauge in a front brake line and at the booster. Keep %s on the vacuum gauge, press to %s and read.",
				si.Show(c.Vacuum, u), si.Show(c.Pedal, u))
		},
		simulate: (*Rig).linePressure,
		byFoot:   true,
		inLine:   true,
		gauge:    line,
		unlike:   spread{0.03e6, 0.02},
		most:     func(_ Conditions, sound float64, _ *sim.Config) float64 { return 2*sound + 1e6 },
		minutes:  minutes(3),
		adds:     factors,
	},
	{
		name:        scenario.PressureCreep,
		recommended: func(s suited) []Conditions { return []Conditions{{Pedal: s.firm, Lasts: s.lasts}} },
		words: func(c Conditions, u si.System) string {
			return fmt.Sprintf("pressure-creep, %s held for %s", si.Show(c.Pedal, u), si.Seconds(c.Lasts))
		},
		how: func(c Conditions, u si.System) string {
			return fmt.Sprintf("Gauge in a front brake line. Engine idling: press to %s and hold. Stop the engine and read by how much the pressure rises in %s, force unchanged.",
				si.Show(c.Pedal, u), si.Seconds(c.Lasts))
		},
		simulate: (*Rig).pressureCreep,
		inLine:   true,
		gauge:    lineRise,
		unlike:   spread{0.03e6, 0.1},
		most:     upTo(3e6),
		minutes:  minutes(3),
		adds:     sums,
	},
	{
		name: scenario.PedalTravel,
		recommended: func(s suited) []Conditions {
			return []Conditions{{Pedal: s.firm}, {Pedal: s.firm, Vacuum: s.vacuum}}
		},
		words: atVacuum(scenario.PedalTravel),
		how: func(c Conditions, u si.System) string {
			if c.Vacuum == 0 {
				return fmt.Sprintf("Engine off, pumped until the pedal is hard, a rule at the pedal. Press to %s and read how far the pedal has gone from rest.", si.Show(c.Pedal, u))
			}
			return fmt.Sprintf("Engine off, hand pump and gauge at the booster, a rule at the pedal. Keep %s on the gauge, press to %s and read how far the pedal has gone from rest.",
				si.Show(c.Vacuum, u), si.Show(c.Pedal, u))
		},
		simulate: (*Rig).pedalTravel,
		byFoot:   true,
		gauge:    rule,
		unlike:   spread{1e-3, 0.02},
		most:     func(_ Conditions, sound float64, _ *sim.Config) float64 { return 2*sound + 0.1 },
		minutes: func(c Conditions) float64 {
			if c.Vacuum > 0 {
				return 5
			}
			return 3
		},
		adds: factors,
	},
	{
		name:        scenario.PedalSettles,
		recommended: func(s suited) []Conditions { return []Conditions{{Pedal: s.hard}} },
		words:       underFoot(scenario.PedalSettles),
		how: func(c Conditions, u si.System) string {
			return fmt.Sprintf("Engine idling. Press to %s as fast as a foot can and hold; time until the pedal stops sinking, to within %s.",
				si.Show(c.Pedal, u), si.Format(si.DimLength, standsWithin, u))
		},
		simulate: (*Rig).pedalSettles,
		gauge:    watch,
		unlike:   spread{0.05, 0.1},
		most:     upTo(float64(waitMost)),
		minutes:  minutes(3),
		adds:     factors,
	},
	{
		name:        scenario.Recharge,
		recommended: func(s suited) []Conditions { return []Conditions{{Pedal: s.hard}} },
		words:       underFoot(scenario.Recharge),
		how: func(c Conditions, u si.System) string {
			return fmt.Sprintf("Engine idling, gauge at the booster. Press to %s for a few seconds, let go and time until the needle is back to within %s of where it was. If it is not within %s, write %s.",
				si.Show(c.Pedal, u), si.Format(si.DimVacuum, backWithin, u), si.Seconds(waitMost), si.Seconds(waitMost))
		},
		simulate: (*Rig).recharge,
		gauge:    watch,
		unlike:   spread{0.05, 0.1},
		most:     upTo(float64(waitMost)),
		minutes:  minutes(4),
		adds:     factors,
	},
})

// withForms adds to every entry how its readings are written.
func withForms(table []*test) []*test {
	for _, t := range table {
		t.form, _ = t.name.Form()
		switch t.form.Reads {
		case "count":
			t.kind = count
		case "answer":
			t.kind = yesOrNo
		}
		if t.recommended == nil {
			t.recommended = func(suited) []Conditions { return []Conditions{{}} }
		}
	}
	return table
}

// testOf finds a test by its name; nil if there is none.
func testOf(name scenario.Test) *test {
	for _, t := range tests {
		if t.name == name {
			return t
		}
	}
	return nil
}

// fineVacuum is the vacuum to more digits than a gauge shows, as it is written down.
func (c Conditions) fineVacuum(u si.System) string {
	return si.FormatFine(si.DimVacuum, float64(c.Vacuum), u)
}

func says(text string) func(Conditions, si.System) string {
	return func(Conditions, si.System) string { return text }
}

func underFoot(name scenario.Test) func(Conditions, si.System) string {
	return func(c Conditions, u si.System) string { return fmt.Sprintf("%s, %s", name, si.Show(c.Pedal, u)) }
}

func atVacuum(name scenario.Test) func(Conditions, si.System) string {
	return func(c Conditions, u si.System) string {
		with := "no vacuum"
		if c.Vacuum > 0 {
			with = si.Show(c.Vacuum, u)
		}
		return fmt.Sprintf("%s at %s with %s", name, si.Show(c.Pedal, u), with)
	}
}

func minutes(m float64) func(Conditions) float64 { return func(Conditions) float64 { return m } }

func upTo(most float64) func(Conditions, float64, *sim.Config) float64 {
	return func(Conditions, float64, *sim.Config) float64 { return most }
}

func ambient(_ Conditions, _ float64, car *sim.Config) float64 {
	return float64(car.Ambient.Pressure)
}
