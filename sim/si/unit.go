package si

import (
	"math"
)

// Dimension says which physical quantity a number is.
type Dimension uint8

// The dimensions; each has a type of its own except DimNone, which is a plain number
// that stands for no quantity, such as a count.
const (
	DimNone         Dimension = iota
	DimPressure               // Pa, see [Pressure]
	DimVacuum                 // Pa below ambient, see [Vacuum]
	DimForce                  // N
	DimLength                 // m
	DimArea                   // m²
	DimVolume                 // m³
	DimMass                   // kg
	DimAcceleration           // m/s²
	DimSpeed                  // m/s
	DimTemperature            // K
	DimTime                   // s
	DimRotation               // 1/s
	DimStiffness              // N/m
	DimCompliance             // m³/Pa
	DimVolumeFlow             // m³/s
	DimMassFlow               // kg/s
	DimRatio                  // 1
	dimCount
)

var dimensionNames = [dimCount]string{
	DimNone:         "a plain number",
	DimPressure:     "a pressure",
	DimVacuum:       "a vacuum",
	DimForce:        "a force",
	DimLength:       "a length",
	DimArea:         "an area",
	DimVolume:       "a volume",
	DimMass:         "a mass",
	DimAcceleration: "an acceleration",
	DimSpeed:        "a speed",
	DimTemperature:  "a temperature",
	DimTime:         "a time",
	DimRotation:     "a speed of rotation",
	DimStiffness:    "a spring rate",
	DimCompliance:   "a compliance",
	DimVolumeFlow:   "a volume flow",
	DimMassFlow:     "a mass flow",
	DimRatio:        "a ratio",
}

// String returns the name of the dimension with its article, as an error message wants
// it: "a pressure", "an area".
func (d Dimension) String() string {
	if d >= dimCount {
		return "an unknown dimension"
	}
	return dimensionNames[d]
}

// Quantity is any of the types of this package that carry a dimension.
type Quantity interface {
	~float64
	Dimension() Dimension
}

// System is a family of units to print in.
type System uint8

// The systems of units.
const (
	SI System = iota // kPa, MPa, N, mm, L, °C
	US               // inHg, psi, lbf, in, in³, °F
)

// String returns the name of the system of units, "si" or "us".
func (s System) String() string {
	if s == US {
		return "us"
	}
	return "si"
}

// Unit is a unit to print in. A number shown in it is (SI value - Offset) / Scale.
type Unit struct {
	Name      string  // behind the number, "" for none
	Scale     float64 // one unit in SI
	Offset    float64 // the SI value shown as 0
	Step      float64 // the resolution of [Format], in this unit
	KeySuffix string  // ends a data key whose value is [Convert]'s, which need not be in this unit
}

// Of returns the number that shows the SI value v in u.
func (u Unit) Of(v float64) float64 { return (v - u.Offset) / u.Scale }

// SI returns the SI value of the number n shown in u.
func (u Unit) SI(n float64) float64 { return n*u.Scale + u.Offset }

// rung is a unit that prints the SI values from a size upwards.
type rung struct {
	from float64
	unit Unit
}

// ladder holds the units of one dimension and system from the largest down; the last
// begins at 0. main is the place of the usual one.
type ladder struct {
	main  int
	rungs []rung
}

func one(name string, scale, step float64) ladder {
	return ladder{rungs: []rung{{0, Unit{Name: name, Scale: scale, Step: step}}}}
}

// pick returns the unit that prints the SI value v; a NaN and 0 have no size, so that they
// get the usual one.
func (l ladder) pick(v float64) Unit {
	if v != 0 {
		for _, r := range l.rungs {
			if math.Abs(v) >= r.from {
				return r.unit
			}
		}
	}
	return l.rungs[l.main].unit
}

func rungOf(from float64, name string, scale, step float64) rung {
	return rung{from, Unit{Name: name, Scale: scale, Step: step}}
}

func degrees(name string, scale, offset float64) ladder {
	return ladder{rungs: []rung{{0, Unit{Name: name, Scale: scale, Offset: offset, Step: 1}}}}
}

var seconds = ladder{rungs: []rung{rungOf(0.1, "s", 1, 0.1), rungOf(0, "ms", 1e-3, 1)}}

// displays says, for SI and US in turn, what each dimension is printed in. Steps are what
// the gauge of a workshop resolves (common practice, no source): half an inch of mercury,
// 10 psi, one pound at the pedal.
var displays = [dimCount][2]ladder{
	DimNone:     {one("", 1, 1), one("", 1, 1)},
	DimPressure: {one("MPa", 1e6, 0.1), one("psi", PoundPerSquareInch, 10)},
	DimVacuum:   {one("kPa", 1e3, 1), one("inHg", InchOfMercury, 0.5)},
	DimForce:    {one("N", 1, 5), one("lbf", PoundForce, 1)},
	DimLength: {
		{1, []rung{rungOf(10, "m", 1, 1), rungOf(0, "mm", 1e-3, 0.1)}},
		{1, []rung{rungOf(10, "ft", Foot, 1), rungOf(0, "in", Inch, 0.01)}},
	},
	DimArea: {
		{0, []rung{rungOf(2e-4, "cm²", 1e-4, 0.1), rungOf(2e-6, "mm²", 1e-6, 0.1), rungOf(0, "mm²", 1e-6, 0.001)}},
		{0, []rung{rungOf(SquareInch, "in²", SquareInch, 0.1), rungOf(2e-6, "in²", SquareInch, 0.001), rungOf(0, "in²", SquareInch, 1e-5)}},
	},
	DimVolume: {
		{0, []rung{rungOf(0.1*Litre, "L", Litre, 0.01), rungOf(0, "cm³", 1e-6, 0.1)}},
		{0, []rung{rungOf(0.1*Litre, "in³", CubicInch, 1), rungOf(0, "in³", CubicInch, 0.01)}},
	},
	DimMass:         {one("kg", 1, 1), one("lb", Pound, 1)},
	DimAcceleration: {one("g", StandardGravity, 0.01), one("g", StandardGravity, 0.01)},
	DimSpeed:        {one("km/h", 1e3/Hour, 1), one("mph", MilePerHour, 1)},
	DimTemperature:  {degrees("°C", 1, ZeroCelsius), degrees("°F", fahrenheitDegree, zeroFahrenheit)},
	DimTime:         {seconds, seconds},
	DimRotation:     {one("rpm", RevPerMinute, 10), one("rpm", RevPerMinute, 10)},
	DimStiffness:    {one("N/mm", 1e3, 0.1), one("lbf/in", PoundForce/Inch, 1)},
	DimCompliance:   {one("cm³/MPa", 1e-12, 0.01), one("in³/psi", CubicInch/PoundPerSquareInch, 1e-5)},
	DimVolumeFlow:   {one("L/min", Litre/Minute, 0.1), one("cfm", CubicFoot/Minute, 0.01)},
	DimMassFlow:     {one("g/s", 1e-3, 0.01), one("lb/min", Pound/Minute, 0.001)},
	DimRatio:        {one("", 1, 0.01), one("", 1, 0.01)},
}

// gas shows a gas's absolute pressure, for which the steps of a line gauge are too wide.
var gas = [2]Unit{
	SI: {Name: "kPa", Scale: 1e3, Step: 1},
	US: {Name: "psi", Scale: PoundPerSquareInch, Step: 0.1},
}

func (d Dimension) ladder(sys System) ladder {
	if d >= dimCount {
		d = DimNone
	}
	if sys != US {
		sys = SI
	}
	return displays[d][sys]
}

// Unit returns the usual unit of d in a system: the one for the axis of a chart or the
// head of a column. [Format] goes over to a smaller or larger one where the value asks
// for it.
func (d Dimension) Unit(sys System) Unit {
	l := d.ladder(sys)
	u := l.rungs[l.main].unit
	u.KeySuffix = d.key(sys).KeySuffix
	return u
}

// keys says, for SI and US in turn, what a data file holds and how its keys end. SI
// values go out as they are.
var keys = [dimCount][2]Unit{
	DimNone:         {plainKey(""), plainKey("")},
	DimPressure:     {plainKey("_pa"), scaledKey("_psi", PoundPerSquareInch)},
	DimVacuum:       {plainKey("_pa"), scaledKey("_inhg", InchOfMercury)},
	DimForce:        {plainKey("_n"), scaledKey("_lbf", PoundForce)},
	DimLength:       {plainKey("_m"), scaledKey("_in", Inch)},
	DimArea:         {plainKey("_m2"), scaledKey("_in2", SquareInch)},
	DimVolume:       {plainKey("_m3"), scaledKey("_in3", CubicInch)},
	DimMass:         {plainKey("_kg"), scaledKey("_lb", Pound)},
	DimAcceleration: {plainKey("_mps2"), scaledKey("_ftps2", Foot)},
	DimSpeed:        {plainKey("_mps"), scaledKey("_mph", MilePerHour)},
	DimTemperature:  {plainKey("_k"), {Scale: fahrenheitDegree, Offset: zeroFahrenheit, KeySuffix: "_f"}},
	DimTime:         {plainKey("_s"), plainKey("_s")},
	DimRotation:     {plainKey("_rps"), scaledKey("_rpm", RevPerMinute)},
	DimStiffness:    {plainKey("_npm"), scaledKey("_lbfpin", PoundForce/Inch)},
	DimCompliance:   {plainKey("_m3ppa"), scaledKey("_in3ppsi", CubicInch/PoundPerSquareInch)},
	DimVolumeFlow:   {plainKey("_m3ps"), scaledKey("_cfm", CubicFoot/Minute)},
	DimMassFlow:     {plainKey("_kgps"), scaledKey("_lbpmin", Pound/Minute)},
	DimRatio:        {plainKey(""), plainKey("")},
}

func plainKey(suffix string) Unit { return scaledKey(suffix, 1) }

func scaledKey(suffix string, scale float64) Unit {
	return Unit{Scale: scale, KeySuffix: suffix}
}

func (d Dimension) key(sys System) Unit {
	if d >= dimCount {
		d = DimNone
	}
	if sys != US {
		sys = SI
	}
	return keys[d][sys]
}

// Convert returns the SI value v as a data file of the system holds it, in the unit that
// [Unit.KeySuffix] names: SI values as they are, US values in psi, inHg, lbf, in and so
// on. To show a number in the unit of a chart, use [Unit.Of].
func Convert(d Dimension, v float64, sys System) float64 { return d.key(sys).Of(v) }

// Units as multiples of the SI unit. They are untyped, so that 10*Inch is a [Length]
// where a length is wanted and InchOfMercury serves a [Pressure] and a [Vacuum].
//
// Inch, foot, pound and gallon follow their legal definitions in metres and kilograms,
// the others follow from these and from the standard acceleration of free fall. Columns
// of mercury are conventional: 13 595.1 kg/m³ under standard free fall.
const (
	StandardGravity    = 9.80665  // m/s²
	StandardAtmosphere = 101325.0 // Pa
	ZeroCelsius        = 273.15   // K

	Inch = 0.0254      // m
	Foot = 12 * Inch   // m
	Mile = 5280 * Foot // m

	SquareInch = Inch * Inch        // m²
	CubicInch  = Inch * Inch * Inch // m³
	CubicFoot  = Foot * Foot * Foot // m³
	Litre      = 1e-3               // m³
	Gallon     = 231 * CubicInch    // m³, US liquid
	Quart      = Gallon / 4         // m³, US liquid

	Pound         = 0.45359237              // kg, avoirdupois
	PoundForce    = Pound * StandardGravity // N
	KilogramForce = StandardGravity         // N

	PoundPerSquareInch  = PoundForce / SquareInch            // Pa
	Bar                 = 1e5                                // Pa
	MillimetreOfMercury = 13595.1 * StandardGravity * 1e-3   // Pa
	InchOfMercury       = MillimetreOfMercury * (Inch * 1e3) // Pa

	Minute       = 60.0         // s
	Hour         = 3600.0       // s
	MilePerHour  = Mile / Hour  // m/s
	RevPerMinute = 1.0 / Minute // 1/s

	fahrenheitDegree = 5.0 / 9.0                         // K
	zeroFahrenheit   = ZeroCelsius - 32*fahrenheitDegree // K
)
