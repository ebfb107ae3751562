package si

import "strings"

// knownUnit is a unit that texts may carry: SI value = number*scale + offset.
type knownUnit struct {
	name          string
	scale, offset float64
	aliases       []string
}

func known(name string, scale float64, aliases ...string) knownUnit {
	return knownUnit{name: name, scale: scale, aliases: aliases}
}

var pressureUnits = []knownUnit{
	known("kPa", 1e3),
	known("MPa", 1e6),
	known("Pa", 1),
	known("bar", Bar),
	known("mbar", Bar/1e3),
	known("mmHg", MillimetreOfMercury, "mm Hg"),
	known("inHg", InchOfMercury, "in Hg"),
	known("psi", PoundPerSquareInch, "lbf/in2"),
}

// knownUnits lists, for every dimension, the units a text may carry, in the order in
// which a message names them. Exponents are plain digits here; foldUnit sees to the rest.
var knownUnits = [dimCount][]knownUnit{
	DimPressure: pressureUnits,
	DimVacuum:   pressureUnits,
	DimForce: {
		known("N", 1),
		known("kN", 1e3),
		known("kgf", KilogramForce),
		known("lbf", PoundForce, "lb", "lbs"),
	},
	DimLength: {
		known("mm", 1e-3),
		known("cm", 1e-2),
		known("m", 1),
		known("in", Inch, `"`, "″"),
		known("ft", Foot, "'", "′"),
	},
	DimArea: {
		known("mm2", 1e-6, "sq mm"),
		known("cm2", 1e-4, "sq cm"),
		known("m2", 1),
		known("in2", SquareInch, "sq in"),
	},
	DimVolume: {
		known("cm3", 1e-6, "cc", "cu cm"),
		known("ml", 1e-6),
		known("L", Litre),
		known("mm3", 1e-9),
		known("m3", 1),
		known("in3", CubicInch, "cu in"),
		known("qt", Quart),
		known("gal", Gallon),
	},
	DimMass: {
		known("kg", 1),
		known("lb", Pound, "lbs"),
	},
	DimAcceleration: {
		known("g", StandardGravity),
		known("m/s2", 1),
		known("ft/s2", Foot),
	},
	DimSpeed: {
		known("km/h", 1e3/Hour, "kph", "kmh"),
		known("m/s", 1),
		known("mph", MilePerHour),
		known("ft/s", Foot),
	},
	DimTemperature: {
		{name: "°C", scale: 1, offset: ZeroCelsius, aliases: []string{"C", "deg C", "degC"}},
		{name: "°F", scale: fahrenheitDegree, offset: zeroFahrenheit, aliases: []string{"F", "deg F", "degF"}},
		known("K", 1),
	},
	DimTime: {
		known("s", 1, "sec"),
		known("ms", 1e-3),
		known("min", Minute),
	},
	DimRotation: {
		known("rpm", RevPerMinute, "1/min"),
		known("rps", 1, "rev/s", "1/s"),
	},
	DimStiffness: {
		known("N/mm", 1e3),
		known("N/m", 1),
		known("lbf/in", PoundForce/Inch, "lb/in", "lbs/in"),
	},
	DimCompliance: {
		known("cm3/MPa", 1e-12, "cc/MPa"),
		known("cm3/bar", 1e-6/Bar, "cc/bar"),
		known("m3/Pa", 1),
		known("in3/psi", CubicInch/PoundPerSquareInch),
	},
	DimVolumeFlow: {
		known("L/min", Litre/Minute),
		known("L/s", Litre),
		known("m3/s", 1),
		known("cfm", CubicFoot/Minute, "ft3/min"),
	},
	DimMassFlow: {
		known("g/s", 1e-3),
		known("kg/s", 1),
		known("lb/min", Pound/Minute),
	},
	DimEnergy: {
		known("J", 1),
		known("kJ", 1e3),
		known("ft·lbf", FootPound, "ft lbf", "ft-lbf", "ftlbf"),
	},
	DimRatio: {
		known("%", 0.01, "percent"),
	},
}

// wanted holds, for every dimension, two examples of a text that would be right and
// say the same, and a half width for the first.
var wanted = [dimCount][3]string{
	DimNone:         {"3", "3", "1"},
	DimPressure:     {"1000 psi", "6.9 MPa", "50 psi"},
	DimVacuum:       {"20 inHg", "67.7 kPa", "1 inHg"},
	DimForce:        {"50 lbf", "222 N", "2 lbf"},
	DimLength:       {"10 in", "254 mm", "0.1 in"},
	DimArea:         {"1 in2", "6.45 cm2", "0.1 in2"},
	DimVolume:       {"2 L", "122 in3", "0.1 L"},
	DimMass:         {"3300 lb", "1500 kg", "50 lb"},
	DimAcceleration: {"0.6 g", "5.9 m/s2", "0.05 g"},
	DimSpeed:        {"60 mph", "97 km/h", "2 mph"},
	DimTemperature:  {"68 °F", "20 °C", "5 °F"},
	DimTime:         {"2 s", "2000 ms", "0.1 s"},
	DimRotation:     {"800 rpm", "800 rpm", "50 rpm"},
	DimStiffness:    {"2.5 N/mm", "14.3 lbf/in", "0.5 N/mm"},
	DimCompliance:   {"0.24 cm3/MPa", "0.000101 in3/psi", "0.02 cm3/MPa"},
	DimVolumeFlow:   {"25 L/min", "0.883 cfm", "2 L/min"},
	DimMassFlow:     {"10 g/s", "1.32 lb/min", "1 g/s"},
	DimEnergy:       {"1000 J", "738 ft·lbf", "50 J"},
	DimRatio:        {"0.85", "85 %", "0.05"},
}

// example returns the dimension with one or two texts that would be right.
func (d Dimension) example() string {
	w := wanted[d]
	if w[0] == w[1] {
		return d.String() + `, e.g. "` + w[0] + `"`
	}
	return d.String() + `, e.g. "` + w[0] + `" or "` + w[1] + `"`
}

// exampleUnits returns the dimension with the units that would be right.
func (d Dimension) exampleUnits() string {
	var names []string
	for _, u := range knownUnits[d] {
		names = append(names, u.name)
	}
	list := names[len(names)-1]
	if len(names) > 1 {
		list = strings.Join(names[:len(names)-1], ", ") + " or " + list
	}
	return d.String() + " in " + list + `, e.g. "` + wanted[d][0] + `"`
}
