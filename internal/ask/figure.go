package ask

import (
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A Figure is one that is not known exactly: the value that is taken, and between what it
// may lie.
type Figure struct {
	// Key is the scenario's, and Question the one that asks for it; empty where none does.
	Key      string
	Question string
	// Name says what it is in words.
	Name             string
	Dim              si.Dimension
	Value, Low, High float64
	// Other is in place of a range where the figure is one of two kinds.
	Other   string
	Measure string
	// put are the settings that give it a value; other those that make it the other kind.
	put   func(v float64) []scenario.Setting
	other []scenario.Setting
}

// asked is a figure that a page ranks, and the question that asks for it, if one does. The
// table of keys says between what it may lie, and how it is measured.
type asked struct {
	key, question, name string
	// measure is how it is measured by who has the car, where no question says it.
	measure string
	// when says that the figure means anything in the car; nil for always.
	when func(*sim.Config) bool
}

func boosted(c *sim.Config) bool { return c.Booster.Kind != sim.BoosterNone }

func single(c *sim.Config) bool { return boosted(c) && len(c.Booster.Diameters) == 1 }

func ownEngine(c *sim.Config) bool { return boosted(c) && c.Source.Kind == sim.SourceEngine }

const letters = "read the two letters on its edge, E for 0.25 to 0.35, F for 0.35 to 0.45 (SAE J866, secondary copy)"

var usual = []asked{
	{key: scenario.KeySourceVacuum, question: VacuumInGear, name: "idle vacuum in gear", when: boosted},
	{key: scenario.KeyBoosterDiameter, question: BoosterSize, name: "booster's diameter", when: single},
	{key: scenario.KeyPedalRatio, question: PedalLengths, name: "pedal ratio"},
	{key: scenario.KeyMasterBore, question: MasterBore, name: "master cylinder's bore"},
	{key: scenario.KeyBrakeFrontPistonArea, question: FrontBrakes, name: "front pistons' area"},
	{key: scenario.KeyBrakeFrontRadius, question: FrontDiscs, name: "front brakes' radius"},
	{key: scenario.KeyBrakeRearPistonArea, question: RearBrakes, name: "rear pistons' area"},
	{key: scenario.KeyBrakeRearRadius, question: RearDiscs, name: "rear brakes' radius"},
	{key: scenario.KeyCarTyreRadius, question: Tyres, name: "tyres' radius"},
	{key: scenario.KeyCarMass, question: Weight, name: "weight"},
	{key: scenario.KeyCarFrontShare, question: Weight, name: "weight on the front"},
	{key: scenario.KeyBrakeFrontFriction, name: "front linings' friction", measure: letters},
	{key: scenario.KeyBrakeRearFriction, name: "rear linings' friction", measure: letters},
	{key: scenario.KeyBoosterRatio, name: "booster's ratio", when: boosted,
		measure: "the maker's sheet; or a gauge in the brake line at two pedal forces, and kneepoint fit"},
	{key: scenario.KeyBoosterFrontVolume, name: "room in the booster", when: boosted,
		measure: "a gauge at the booster over a few stops with the engine off, and kneepoint fit"},
}

// figure is one that nobody knows, in the range that the table of keys gives it; ok is
// false where there is none.
func (u *asked) figure(e *scenario.Entry) (f Figure, ok bool) {
	if e == nil || e.Range == nil || len(e.SI) != 1 {
		return Figure{}, false
	}
	f = Figure{Key: u.key, Question: u.question, Name: u.name, Dim: e.Dim, Value: e.SI[0], Measure: u.measure}
	f.Low, f.High = min(e.Range.Low, f.Value), max(e.Range.High, f.Value)
	f.settle()
	return f, true
}

// settle fills in how a figure is put into a scenario, and how it is measured.
func (f *Figure) settle() {
	key, dim := f.Key, f.Dim
	if f.put == nil {
		f.put = func(v float64) []scenario.Setting { return []scenario.Setting{scenario.SettingIn(key, dim, v)} }
	}
	if q, ok := named(f.Question); ok && f.Measure == "" {
		f.Measure = q.Measure
	}
	if front, ok := named(asFront[f.Question]); ok && f.Measure == likeFront {
		f.Measure = front.Measure
	}
}

// Text prints a value of the figure.
func (f *Figure) Text(v float64, u si.System) string {
	if v == 0 && f.Key == scenario.KeyAmbientAltitude {
		return "sea level"
	}
	return si.Format(f.Dim, v, u)
}

// Range prints what it may lie between.
func (f *Figure) Range(u si.System) string {
	if f.Other != "" {
		return "or " + f.Other
	}
	return si.FormatSpan(f.Dim, f.Low, f.High, u)
}
