package si

import "math"

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
	DimEnergy:       {one("J", 1, 1), one("ft·lbf", FootPound, 1)},
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
