package ask

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A Car is what the answers make.
type Car struct {
	// Scenario has a range as its middle with a half width.
	Scenario *scenario.Scenario
	// Unknown are the figures that are not known exactly.
	Unknown []Figure
	// Pass is the height of the highest road, NoPass that there is none.
	Pass        si.Length
	NoPass      bool
	PassAssumed bool

	home    si.Length
	answers *Answers
}

// usualPass is the height of a pass that nobody named (estimate).
const usualPass si.Length = 6000 * si.Foot

// Car makes the car. The error is a [*scenario.InputError] where answers, each possible
// by itself, do not go together.
func (a *Answers) Car() (*Car, error) {
	b := &builder{Answers: a, drums: map[string]bool{
		frontAxle: a.base.Config.Car.FrontBrake.Kind.IsDrum(), rearAxle: a.base.Config.Car.RearBrake.Kind.IsDrum(),
	}}
	b.supply()
	b.booster()
	b.copied(PedalLengths, MasterBore, Tyres, Weight, Wish)
	b.brakes(frontAxle, FrontBrakes, FrontDiscs)
	b.brakes(rearAxle, RearBrakes, RearDiscs)
	b.altitude()
	if b.slip != nil {
		return nil, b.slip
	}
	s, err := a.base.Edit(b.set, b.unset...)
	if err != nil {
		return nil, b.placed(err)
	}
	if s.Title == "" {
		if s, err = s.With("title", "A car as answered"); err != nil {
			return nil, err
		}
	}
	car := &Car{Scenario: s, answers: a, home: b.home, Pass: usualPass, PassAssumed: true}
	if p, ok := b.entry(PassAltitude); ok {
		car.NoPass, car.Pass, car.PassAssumed = p.value == "none", si.Length(p.span.middle()), false
	}
	car.Unknown = b.unknown(s)
	return car, nil
}

// builder gathers the settings of the answers.
type builder struct {
	*Answers
	set   []scenario.Setting
	unset []string
	// usual are the keys that go with an answer and were not given themselves.
	usual []string
	drums map[string]bool
	home  si.Length
	slip  error
}

func (b *builder) entries(question string) []entry { return b.given[question].entries }

func (b *builder) entry(question string) (entry, bool) {
	if e := b.entries(question); len(e) > 0 {
		return e[0], true
	}
	return entry{}, false
}

func (b *builder) put(entries ...entry) {
	for _, e := range entries {
		b.set = append(b.set, e.setting())
		if e.usual {
			b.usual = append(b.usual, e.path)
		}
	}
}

func (b *builder) copied(questions ...string) {
	for _, q := range questions {
		b.put(b.entries(q)...)
	}
}

// supply settles the idle vacuum from what was read in gear and in neutral.
func (b *builder) supply() {
	gear, hasGear := b.entry(VacuumInGear)
	neutral, hasNeutral := b.entry(VacuumInNeutral)
	if hasNeutral && neutral.path == likeNeutral {
		hasNeutral = false
	}
	same := hasGear && gear.path == likeNeutral
	const slack = 0.5 * si.InchOfMercury // what a gauge can be misread by
	switch {
	case hasGear && hasNeutral && !same && gear.span.low > neutral.span.high+slack:
		b.wrong(VacuumInNeutral, fmt.Sprintf("%q in neutral with %q in gear", b.given[VacuumInNeutral].text, b.given[VacuumInGear].text),
			"no less in neutral than in gear, where the engine works against the converter; perhaps the two are the wrong way round")
		return
	case hasGear && !same:
		b.put(gear)
	case hasNeutral && same:
		b.put(neutral)
	case hasNeutral:
		s := span{max(0, neutral.span.low-float64(scenario.MostGearDrop)), max(0, neutral.span.high-float64(scenario.LeastGearDrop))}
		b.put(measured(scenario.KeySourceVacuum, si.DimVacuum, s, b.given[VacuumInNeutral].text))
	default:
		return
	}
	if b.base.Config.Source.Kind == sim.SourceEngine {
		b.put(word(scenario.KeySourceMeasuredInGear, "true"))
	}
}

func (b *builder) booster() {
	if e, ok := b.entry(BoosterSize); ok {
		if e.path == scenario.KeyBoosterDiameter {
			b.unset = append(b.unset, scenario.KeyBoosterArea, scenario.KeyBoosterFrontVolume, scenario.KeyBoosterRearVolume)
			if b.base.Config.Booster.Kind == sim.BoosterNone {
				b.put(word(scenario.KeyBoosterKind, string(sim.BoosterVacuum)))
			}
		} else {
			b.unset = append(b.unset, "booster")
		}
		b.put(e)
	}
	for _, e := range b.entries(TankOrPump) {
		switch e.path {
		case noTank:
			b.unset = append(b.unset, "reservoir", "pump")
		case scenario.KeyPumpFreeFlow:
			if b.base.Config.Pump.FreeFlow == 0 {
				e.value = si.FormatFine(si.DimVolumeFlow, float64(scenario.TypicalPump().FreeFlow), si.SI)
				b.put(e)
			}
		default:
			b.put(e)
		}
	}
}

// Drums and rear discs that go with a kind of brake where nobody measured them (estimates).
var usualRadius = map[string]struct{ drum, disc span }{
	frontAxle: {span{4.75 * si.Inch, 5.5 * si.Inch}, span{4 * si.Inch, 4.9 * si.Inch}},
	rearAxle:  {span{4.5 * si.Inch, 5.5 * si.Inch}, span{4 * si.Inch, 4.9 * si.Inch}},
}

func (b *builder) brakes(axle, kinds, sizes string) {
	was := b.drums[axle]
	given := b.entries(kinds)
	if len(given) > 0 {
		b.drums[axle] = sim.BrakeKind(given[0].value).IsDrum()
		b.unset = append(b.unset, "brake."+axle+".piston_area", "brake."+axle+".piston_diameter", "brake."+axle+".pistons", "brake."+axle+".shoe_factor")
	}
	b.put(given...)
	path := "brake." + axle + ".radius"
	if size, ok := b.entry(sizes); ok {
		b.put(measured(path, si.DimLength, gripping(size.span, b.drums[axle]), b.given[sizes].text))
		return
	}
	if b.drums[axle] != was {
		r := usualRadius[axle].disc
		if b.drums[axle] {
			r = usualRadius[axle].drum
		}
		e := measured(path, si.DimLength, r, "")
		e.usual = true
		b.put(e)
	}
}

func (b *builder) altitude() {
	b.home, _ = b.base.Altitude()
	e, ok := b.entry(HomeAltitude)
	if !ok {
		return
	}
	b.home = si.Length(e.span.middle())
	b.put(e)
}

// isSet says that a key was set by the scenario or by an answer.
func (b *builder) isSet(key string) bool {
	return b.known(key) || slices.ContainsFunc(b.set, func(s scenario.Setting) bool { return s.Path == key })
}

// wrong keeps the first slip between answers.
func (b *builder) wrong(question, read, want string) {
	p := b.given[question].place
	p.Key, p.Read, p.Want = question, read, want
	b.slip = &scenario.InputError{Problems: []scenario.Problem{p}}
}

// placed gives the problems of a scenario the places of the answers behind them.
func (b *builder) placed(err error) error {
	var input *scenario.InputError
	if !errors.As(err, &input) {
		return err
	}
	for i := range input.Problems {
		p := &input.Problems[i]
		for name, g := range b.given {
			if slices.ContainsFunc(g.entries, func(e entry) bool { return e.path == p.Key }) {
				p.File, p.Line, p.Key, p.Read = g.place.File, g.place.Line, name, strconv.Quote(shortened(g.text))
			}
		}
	}
	return input
}

// unknown lists the figures of the car that are not known exactly: ranges that were
// given, what goes with an answer, and what nobody answered.
func (b *builder) unknown(s *scenario.Scenario) []Figure {
	var out []Figure
	config := &s.Config
	entries := map[string]*scenario.Entry{}
	all := s.Entries()
	for i := range all {
		entries[all[i].Path] = &all[i]
	}
	for i := range usual {
		u := &usual[i]
		if u.when != nil && !u.when(config) || b.isSet(strings.Replace(u.key, "piston_area", "piston_diameter", 1)) {
			continue
		}
		if e := entries[u.key]; e != nil && e.HalfWidth > 0 {
			continue // its band is a tolerance of the scenario's own
		}
		if f, ok := u.figure(entries[u.key]); ok {
			out = append(out, f)
		}
	}
	for _, spread := range s.Spreads {
		if spread.HalfWidth > 0 {
			out = append(out, ranged(spread))
		}
	}
	out = append(out, b.kinds(s)...)
	if _, ok := b.entry(HomeAltitude); !ok && !b.known(scenario.KeyAmbientAltitude) && !b.known(scenario.KeyAmbientPressure) && ownEngine(config) {
		f := Figure{Key: scenario.KeyAmbientAltitude, Question: HomeAltitude, Name: "height of the place", Dim: si.DimLength, Low: 0, High: 6000 * si.Foot}
		f.settle()
		out = append(out, f)
	}
	return out
}

// ranged is a figure of which the range was given.
func ranged(s scenario.Spread) Figure {
	f := Figure{Key: s.Path, Name: s.Path, Dim: s.Dim, Value: s.Value, Low: s.Value - s.HalfWidth, High: s.Value + s.HalfWidth}
	key := strings.Replace(s.Path, "piston_diameter", "piston_area", 1)
	for i := range usual {
		if usual[i].key == key {
			f.Name, f.Question, f.Measure = strings.Replace(usual[i].name, "pistons' area", "pistons' diameter", 1), usual[i].question, usual[i].measure
		}
	}
	f.settle()
	return f
}

// kinds lists the brakes of which the kind itself is not known.
func (b *builder) kinds(s *scenario.Scenario) []Figure {
	var out []Figure
	for _, axle := range []struct{ name, question string }{{frontAxle, FrontBrakes}, {rearAxle, RearBrakes}} {
		g := b.given[axle.question]
		prefix := "brake." + axle.name + "."
		switch {
		case !g.known && !b.known(prefix+"kind"):
			other, usualSize, radius := sim.BrakeDuoServo, usualPiston[axle.name].drum, usualRadius[axle.name].drum
			if b.drums[axle.name] {
				other, usualSize, radius = sim.BrakeDisc, usualPiston[axle.name].disc, usualRadius[axle.name].disc
			}
			f := Figure{Key: prefix + "kind", Question: axle.question, Name: axle.name + " discs or drums", Other: plural(other), Measure: "look behind the wheel",
				other: []scenario.Setting{
					{Path: prefix + "kind", Value: string(other)},
					scenario.SettingIn(prefix+"piston_diameter", si.DimLength, usualSize.middle()),
					scenario.SettingIn(prefix+"radius", si.DimLength, radius.middle()),
				}}
			f.settle()
			out = append(out, f)
		case g.known && b.drums[axle.name] && !strings.Contains(strings.ToLower(g.text), "servo") && !strings.Contains(strings.ToLower(g.text), "leading"):
			f := Figure{Key: prefix + "kind", Question: axle.question, Name: "kind of drums " + where(axle.name), Other: "leading-trailing",
				Measure: "look inside: shoes linked by the adjuster at the bottom are duo-servo, shoes that stand on a fixed block there are leading-trailing",
				other:   []scenario.Setting{{Path: prefix + "kind", Value: string(sim.BrakeLeadingTrailing)}}}
			f.settle()
			out = append(out, f)
		}
	}
	return out
}

func where(axle string) string {
	if axle == frontAxle {
		return "in front"
	}
	return "at the rear"
}

func plural(k sim.BrakeKind) string {
	if k.IsDrum() {
		return "drums"
	}
	return "discs"
}

// Document is the scenario that the answers make, with what is not known said above it.
func (c *Car) Document() string {
	var b strings.Builder
	b.WriteString("# From the answers to kneepoint ask. Every verb takes this file.\n")
	if len(c.Unknown) > 0 {
		b.WriteString("#\n# Not known exactly, and taken as is usual or in the middle (estimates):\n")
	}
	for i := range c.Unknown {
		f := &c.Unknown[i]
		taken := f.Text(f.Value, si.US) + ", may be "
		if f.Other != "" {
			taken = "may be "
		}
		fmt.Fprintf(&b, "#   %s (%s): %s%s\n", f.Name, f.Key, taken, strings.TrimPrefix(f.Range(si.US), "or "))
	}
	b.WriteString("\n")
	b.WriteString(c.Scenario.String())
	return b.String()
}
