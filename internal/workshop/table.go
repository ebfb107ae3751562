package workshop

import (
	"fmt"
	"math"

	"kneepoint/internal/verdict"
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
		tools:    []scenario.Tool{scenario.VacuumGauge},
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
		tools:    []scenario.Tool{scenario.VacuumGauge},
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
		adds:  leaks,
		tools: []scenario.Tool{scenario.VacuumGauge},
	},
	{
		name: scenario.StopsLeft,
		words: func(c Conditions, _ si.System) string {
			if c.Wait > 0 {
				return fmt.Sprintf("stops-left after %s", si.Seconds(c.Wait))
			}
			return "stops-left"
		},
		how: func(c Conditions, _ si.System) string {
			after := "Engine off after a minute at idle."
			if c.Wait > 0 {
				after = fmt.Sprintf("Engine off after a minute at idle; wait %s.", si.Seconds(c.Wait))
			}
			return after + " Pump as for a normal stop, a few seconds apart; count the pumps before the one that is hard."
		},
		simulate: (*Rig).stopsLeft,
		gauge:    counting,
		unlike:   spread{0.2, 0.03},
		most:     upTo(MostStops),
		minutes:  func(c Conditions) float64 { return 4 + math.Ceil(float64(c.Wait)/60) },
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
		yesFrom:  feltFrom,
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
		tools:    []scenario.Tool{scenario.LineGauge},
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
		tools:    []scenario.Tool{scenario.LineGauge},
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
		adds:  factors,
		tools: []scenario.Tool{scenario.Rule},
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
		tools:    []scenario.Tool{scenario.Stopwatch},
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
		tools:    []scenario.Tool{scenario.VacuumGauge, scenario.Stopwatch},
	},
	{
		name: scenario.PedalSinks,
		recommended: func(s suited) []Conditions {
			return []Conditions{{Pedal: s.held, Lasts: 2 * s.lasts}}
		},
		words: func(c Conditions, u si.System) string {
			return fmt.Sprintf("pedal-sinks, %s held for %s", si.Show(c.Pedal, u), si.Seconds(c.Lasts))
		},
		how: func(c Conditions, u si.System) string {
			return fmt.Sprintf("Engine off, pumped until the pedal is hard. Press to %s, hold it steady, and after a few seconds watch the pedal for %s: by how much does it sink?",
				si.Show(c.Pedal, u), si.Seconds(c.Lasts))
		},
		simulate: (*Rig).pedalSinks,
		byFoot:   true,
		gauge:    rule,
		unlike:   spread{1e-3, 0.15},
		most:     upTo(0.15),
		minutes:  minutes(2),
		adds:     sums,
		tools:    []scenario.Tool{scenario.Rule},
	},
	{
		name:        scenario.Hiss,
		recommended: footUpAndDown,
		words:       withFoot(scenario.Hiss),
		how: func(c Conditions, _ si.System) string {
			if c.Pedal > 0 {
				return "Engine idling, press the pedal as in an ordinary stop and hold it. A short rush is normal: does a hiss go on while the pedal stands still?"
			}
			return "Engine idling, foot off the pedal: is there a steady hiss at the pedal, the booster or its hose?"
		},
		simulate: (*Rig).airLetIn,
		gauge:    ear,
		unlike:   spread{0.06e-3, 0.4},
		most:     upTo(20e-3),
		minutes:  minutes(1),
		adds:     sums,
		yesFrom:  flowHeard,
		misread:  0.05,
	},
	{
		name:        scenario.IdleChanges,
		recommended: footUpAndDown,
		words:       withFoot(scenario.IdleChanges),
		how: func(c Conditions, _ si.System) string {
			if c.Pedal > 0 {
				return "Engine idling: press the pedal and hold it. Does the idle stumble or change, and stay changed, as long as the pedal is held?"
			}
			return "Engine idling, foot off the pedal: pinch the vacuum hose close to the booster. Does the idle change?"
		},
		simulate: (*Rig).idleChange,
		gauge:    ear,
		unlike:   spread{0.08e-3, 0.4},
		most:     upTo(20e-3),
		minutes:  minutes(1),
		adds:     sums,
		yesFrom:  idleHeard,
		misread:  0.05,
	},
	sign(scenario.PedalFeel, true, 1, "Engine off, pumped until the pedal is hard, then press it firmly: is it firm, or does it give like a spring?"),
	{
		name: scenario.WheelDrags,
		recommended: func(suited) []Conditions {
			return []Conditions{{Axle: verdict.FrontAxle}, {Axle: verdict.RearAxle}}
		},
		words: func(c Conditions, _ si.System) string { return "wheel-drags, " + axleWords(c.Axle) },
		how: func(c Conditions, _ si.System) string {
			return fmt.Sprintf("After a few stops lift the car and turn the wheels by hand: does a wheel of the %s drag, or is it much hotter than the others?", axleWords(c.Axle))
		},
		simulate: chanceOf(scenario.WheelDrags),
		byFoot:   true,
		gauge:    inHalf,
		unlike:   spread{some: 1e-3},
		most:     upTo(1),
		minutes:  minutes(5),
		adds:     chances,
		yesFrom:  0.5,
		tools:    []scenario.Tool{scenario.Lift},
	},
	sign(scenario.CheckValveBlow, false, 2, "Take the check valve out and blow from the engine's side: does air pass? It has to pass from the booster's side only."),
	sign(scenario.FluidInHose, false, 2, "Pull the vacuum hose off the booster and look into it and into the booster: is there brake fluid?"),
	sign(scenario.PinchHoses, true, 4, "Pinch each brake hose in turn with a clamp made for it and press: does the pedal become high and firm at one of them? Old hoses can be harmed by it.",
		scenario.HoseClamps),
	sign(scenario.PumpUp, true, 1, "Press fast three times: does the pedal rise and become firm, and is it low again some seconds later?"),
	sign(scenario.ParkingBrakeLifts, true, 1, "Set the parking brake and press again: is the pedal clearly higher with it on?"),
	onceDragging(sign(scenario.ToeLiftFrees, true, 1, "While the wheels drag, pull the pedal up with a toe: do they let go?"), 0),
	onceDragging(sign(scenario.NutsFree, true, 5, "On level ground, wheels chocked, while the wheels drag: loosen the two nuts of the master cylinder by a quarter of an inch. Do the wheels let go?",
		scenario.Spanners), 5),
	onceDragging(sign(scenario.PipeFrees, true, 5, "While the wheels drag, open a pipe at the master cylinder by a turn, a rag around it: do they let go? Bleed afterwards.",
		scenario.Spanners), 15),
	onceDragging(sign(scenario.BleederFrees, true, 5, "Open the bleeder of the wheel that drags: does it let go? Bleed afterwards.", scenario.Spanners), 10),
	sign(scenario.FluidLevel, true, 2, "Mark the level in the reservoir, pump ten times hard and look again, and look for wet places: is it steady, or does it fall?"),
	sign(scenario.Fountain, true, 1, "Reservoir open, look at the surface while someone lets the pedal go from a press: does fluid well up for a moment?"),
	sign(scenario.LiningsBad, true, 25, "Take a wheel of each axle off and look at the linings: are they glazed, oily, wet or worn down?", scenario.Lift),
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
		if t.gauge == inHalf {
			t.kind = byChance
		}
		if t.misread == 0 {
			t.misread = slip
		}
		if t.recommended == nil {
			t.recommended = func(suited) []Conditions { return []Conditions{{}} }
		}
	}
	return table
}

// sign is a test out of the table of signs; hydraulic says that it has something to show
// on a car without a booster too.
func sign(name scenario.Test, hydraulic bool, takes float64, how string, tools ...scenario.Tool) *test {
	return &test{
		name: name, how: says(how), simulate: chanceOf(name), byFoot: hydraulic,
		gauge: inHalf, unlike: spread{some: 1e-3}, most: upTo(1), minutes: minutes(takes), adds: chances,
		yesFrom: 0.5, tools: tools,
	}
}

// onceDragging is a test that can only be done while a wheel drags, and what it costs beside
// its time.
func onceDragging(t *test, cost float64) *test {
	t.whileDrags, t.apart = true, cost
	return t
}

func footUpAndDown(suited) []Conditions { return []Conditions{{}, {Pedal: scenario.PressedPedal}} }

func withFoot(name scenario.Test) func(Conditions, si.System) string {
	return func(c Conditions, _ si.System) string {
		if c.Pedal > 0 {
			return string(name) + ", pedal pressed"
		}
		return string(name) + ", pedal released"
	}
}

func axleWords(a verdict.Axle) string {
	switch a {
	case verdict.FrontAxle:
		return "front axle"
	case verdict.RearAxle:
		return "rear axle"
	}
	return "front or rear axle"
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

// fineVacuum is the vacuum as it is written down.
func (c Conditions) fineVacuum(u si.System) string {
	return conditionText(si.DimVacuum, float64(c.Vacuum), u)
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
