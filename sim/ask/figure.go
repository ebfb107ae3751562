package ask

import (
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
	"kneepoint/sim/verdict"
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

// usually is what a figure that nobody knows lies between: factors of the value that is
// taken, or ends of its own (estimates, what cars of the classic years have).
type usually struct {
	key, question, name string
	low, high           float64
	// factors says that the ends are factors of the value.
	factors bool
	measure string
	value   func(*sim.Config) float64
	// ends, where there is one, is in place of low and high.
	ends func(*sim.Config) (low, high float64)
	// when says that the figure means anything in the car; nil for always.
	when func(*sim.Config) bool
}

func boosted(c *sim.Config) bool { return c.Booster.Kind != sim.BoosterNone }

func ownEngine(c *sim.Config) bool { return boosted(c) && c.Source.Kind == sim.SourceEngine }

var usual = []usually{
	{key: "source.vacuum", question: VacuumInGear, name: "idle vacuum in gear", low: 8 * si.InchOfMercury, high: 20 * si.InchOfMercury,
		value: func(c *sim.Config) float64 { return float64(c.Source.Vacuum) }, when: boosted},
	{key: "booster.diameter", question: BoosterSize, name: "booster's diameter", low: 7 * si.Inch, high: 11 * si.Inch,
		value: func(c *sim.Config) float64 { return float64(c.Booster.Diameters[0]) },
		when:  func(c *sim.Config) bool { return boosted(c) && len(c.Booster.Diameters) == 1 }},
	{key: "pedal.ratio", question: PedalLengths, name: "pedal ratio", low: 3, high: 6,
		value: func(c *sim.Config) float64 { return float64(c.Pedal.Ratio) }},
	{key: "master.bore", question: MasterBore, name: "master cylinder's bore", low: 0.875 * si.Inch, high: 1.125 * si.Inch,
		value: func(c *sim.Config) float64 { return float64(c.Master.Bore) }},
	{key: "brake.front.piston_area", question: FrontBrakes, name: "front pistons' area", low: 0.75, high: 1.25, factors: true,
		value: func(c *sim.Config) float64 { return float64(c.Car.FrontBrake.PistonArea) }},
	{key: "brake.front.radius", question: FrontDiscs, name: "front brakes' radius", low: 0.9, high: 1.1, factors: true,
		value: func(c *sim.Config) float64 { return float64(c.Car.FrontBrake.Radius) }},
	{key: "brake.rear.piston_area", question: RearBrakes, name: "rear pistons' area", low: 0.75, high: 1.25, factors: true,
		value: func(c *sim.Config) float64 { return float64(c.Car.RearBrake.PistonArea) }},
	{key: "brake.rear.radius", question: RearDiscs, name: "rear brakes' radius", low: 0.9, high: 1.1, factors: true,
		value: func(c *sim.Config) float64 { return float64(c.Car.RearBrake.Radius) }},
	{key: "car.tyre_radius", question: Tyres, name: "tyres' radius", low: 0.93, high: 1.07, factors: true,
		value: func(c *sim.Config) float64 { return float64(c.Car.TyreRadius) }},
	{key: "car.mass", question: Weight, name: "weight", low: 0.85, high: 1.15, factors: true,
		value: func(c *sim.Config) float64 { return float64(c.Car.Mass) }},
	{key: "car.front_share", question: Weight, name: "weight on the front", low: 0.92, high: 1.08, factors: true,
		value: func(c *sim.Config) float64 { return float64(c.Car.FrontShare) }},
	{key: "brake.front.friction", name: "front linings' friction",
		measure: "read the two letters on its edge, E for 0.25 to 0.35, F for 0.35 to 0.45 (SAE J866, secondary copy)",
		value:   func(c *sim.Config) float64 { return float64(c.Car.FrontBrake.Friction) },
		ends:    func(c *sim.Config) (float64, float64) { return linings(c.Car.FrontBrake.Kind) },
		when:    func(c *sim.Config) bool { return c.Car.FrontBrake.ShoeFactor == 0 }},
	{key: "brake.rear.friction", name: "rear linings' friction",
		measure: "read the two letters on its edge, E for 0.25 to 0.35, F for 0.35 to 0.45 (SAE J866, secondary copy)",
		value:   func(c *sim.Config) float64 { return float64(c.Car.RearBrake.Friction) },
		ends:    func(c *sim.Config) (float64, float64) { return linings(c.Car.RearBrake.Kind) },
		when:    func(c *sim.Config) bool { return c.Car.RearBrake.ShoeFactor == 0 }},
	{key: "booster.ratio", name: "booster's ratio", low: 3.5, high: 7, measure: "the maker's sheet; or a gauge in the brake line at two pedal forces, and kneepoint fit",
		value: func(c *sim.Config) float64 { return float64(c.Booster.Ratio) }, when: boosted},
	{key: "booster.front_volume", name: "room in the booster", measure: "a gauge at the booster over a few stops with the engine off, and kneepoint fit",
		value: func(c *sim.Config) float64 { return float64(c.Booster.FrontVolume) },
		ends: func(c *sim.Config) (float64, float64) {
			most, _ := sim.RoomyVolumesOf(c.Booster.Area)
			return float64(c.Booster.FrontVolume), float64(max(most, c.Booster.FrontVolume))
		}, when: boosted},
}

func linings(k sim.BrakeKind) (low, high float64) {
	a, b := verdict.Linings(k)
	return float64(a), float64(b)
}

// figure is the range of one that nobody knows, for a car.
func (u *usually) figure(c *sim.Config) Figure {
	f := Figure{Key: u.key, Question: u.question, Name: u.name, Value: u.value(c), Low: u.low, High: u.high, Measure: u.measure}
	f.Dim, _ = scenario.Dimension(u.key)
	switch {
	case u.ends != nil:
		f.Low, f.High = u.ends(c)
	case u.factors:
		f.Low, f.High = u.low*f.Value, u.high*f.Value
	}
	f.Low, f.High = min(f.Low, f.Value), max(f.High, f.Value)
	f.settle()
	return f
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
}

// Text prints a value of the figure.
func (f *Figure) Text(v float64, u si.System) string {
	if v == 0 && f.Key == "ambient.altitude" {
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
