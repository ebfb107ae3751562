package si

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"kneepoint/internal/pattern"
)

// Parse reads a text with a unit of dimension d, such as "10 in", "7/8 in" or "20 °C",
// and returns the value in SI units. It is always finite. The error is a [*ParseError].
//
// A vacuum takes the units of pressure and "lb" is a force or a mass as d wants it. A
// ratio is a plain number, "6:1" or "85 %"; [DimNone] is a plain number. All else needs
// its unit.
func Parse(d Dimension, text string) (float64, error) {
	v, reason, want := parse(d, text, "")
	if reason != "" {
		return 0, &ParseError{Text: text, Dim: d, Reason: reason, Want: want}
	}
	return v, nil
}

// ParseAs reads a text as the quantity T; see [Parse].
func ParseAs[T Quantity](text string) (T, error) {
	var zero T
	v, err := Parse(zero.Dimension(), text)
	return T(v), err
}

// parse reads text; where it carries no unit of its own, unit stands in.
func parse(d Dimension, text, unit string) (value float64, reason, want string) {
	number, u, reason, want := parseParts(d, text, unit)
	if reason != "" {
		return 0, reason, want
	}
	value = number*u.scale + u.offset
	switch {
	case math.IsInf(value, 0):
		return 0, "is too large a number", d.example()
	case d == DimTemperature && value < 0:
		return 0, "is below absolute zero", d.example()
	}
	return value, "", ""
}

// parseDifference reads text as the difference of two values of d: the zero of a
// temperature scale does not count.
func parseDifference(d Dimension, text, unit string) (value float64, reason, want string) {
	number, u, reason, want := parseParts(d, text, unit)
	if reason != "" {
		return 0, reason, want
	}
	value = number * u.scale
	if math.IsInf(value, 0) {
		return 0, "is too large a number", d.example()
	}
	return value, "", ""
}

// parseParts reads text as a number and a unit of d.
func parseParts(d Dimension, text, unit string) (number float64, u knownUnit, reason, want string) {
	if d >= dimCount {
		reason, want = unknownDimension()
		return 0, u, reason, want
	}
	number, own, reason := cutNumber(text)
	if reason != "" {
		return 0, u, reason, d.example()
	}
	if own != "" {
		unit = own
	}
	u, reason, want = d.unitOf(unit)
	return number, u, reason, want
}

// unitText returns what stands behind the number in text.
func unitText(text string) (unit, reason string) {
	_, unit, reason = cutNumber(text)
	return unit, reason
}

func unknownDimension() (reason, want string) {
	return "is wanted as an unknown dimension", "a dimension of this package"
}

// unitOf returns the unit that text names, or says what is wrong.
func (d Dimension) unitOf(text string) (u knownUnit, reason, want string) {
	if text == "" {
		if d == DimNone || d == DimRatio {
			return knownUnit{scale: 1}, "", ""
		}
		return u, "has no unit", d.exampleUnits()
	}
	if second, ok := strings.CutPrefix(text, ":"); ok && d == DimRatio {
		v, rest, reason := cutNumber(second)
		if reason != "" || rest != "" || v <= 0 || math.IsInf(1/v, 0) {
			return u, "is not a ratio of two numbers", d.example()
		}
		return knownUnit{scale: 1 / v}, "", ""
	}
	text = spell(text)
	u, f := d.lookUp(text)
	switch f {
	case foundUnit:
		return u, "", ""
	case foundPrefix:
		return u, "has " + quote(text) + ", where small m is milli and capital M is mega", quote(u.name)
	}
	if other, ok := otherDimension(d, text); ok {
		return u, "is " + other.String(), d.example()
	}
	if d == DimNone || d == DimRatio {
		return u, "has the unknown unit " + quote(text), d.example()
	}
	return u, "has the unknown unit " + quote(text), d.exampleUnits()
}

// A number is decimal, or a fraction as bores are sold: "7/8", "1 1/8", "1-1/8".
var numberPattern = pattern.Lazy(
	`^([+-]?)(?:(?:(\d+)(?: +|-))?(\d+)/(\d+)|((?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?))`)

var numberSpelling = strings.NewReplacer(
	"−", "-", "⁄", "/",
	"½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8",
)

// cutNumber takes the number off the front of text and returns it with what follows, or
// says why there is none.
func cutNumber(text string) (value float64, rest, reason string) {
	text = strings.Join(strings.Fields(numberSpelling.Replace(text)), " ")
	digits := strings.ToLower(strings.TrimLeft(text, "+-"))
	switch {
	case text == "":
		return 0, "", "is empty"
	case strings.Contains(text, ","):
		read, ok := withoutComma(text)
		if !ok {
			return 0, "", `has a comma (write 10.5 or 1000)`
		}
		text = read
	case strings.Contains(text, "_"):
		return 0, "", "has an underscore"
	case strings.HasPrefix(digits, "0x"):
		return 0, "", "is hexadecimal"
	}
	m := numberPattern().FindStringSubmatch(text)
	if m == nil {
		return 0, "", "does not begin with a number"
	}
	rest = text[len(m[0]):]
	if rest != "" && strings.ContainsRune("0123456789.+-", rune(rest[0])) ||
		len(rest) > 1 && rest[0] == ' ' && strings.ContainsRune("0123456789.+-", rune(rest[1])) {
		return 0, "", "has more than one number"
	}
	sign, whole, numerator, denominator, decimal := m[1], m[2], m[3], m[4], m[5]
	if decimal != "" {
		v, err := strconv.ParseFloat(decimal, 64)
		if err != nil {
			return 0, "", "is too large a number"
		}
		value = v
	} else {
		v, ok := fraction(whole, numerator, denominator)
		if !ok {
			return 0, "", "has a wrong fraction"
		}
		value = v
	}
	if sign == "-" {
		value = -value
	}
	return value, strings.TrimSpace(rest), ""
}

// Where there is one comma in a number it stands for a decimal point, but before three
// digits and after no more than three it groups thousands: 3,500 lb is no three and a half.
var (
	groupedNumber = pattern.Lazy(`^([+-]?[1-9]\d{0,2}),(\d{3})((?:\.\d+)?(?:[^\d,.].*)?)$`)
	commaNumber   = pattern.Lazy(`^([+-]?\d+),(\d+(?:[^\d,.].*)?)$`)
)

func withoutComma(text string) (string, bool) {
	if m := groupedNumber().FindStringSubmatch(text); m != nil {
		return m[1] + m[2] + m[3], true
	}
	if m := commaNumber().FindStringSubmatch(text); m != nil {
		return m[1] + "." + m[2], true
	}
	return text, false
}

// fraction returns whole + numerator/denominator; beside a whole number the fraction
// must be below one.
func fraction(whole, numerator, denominator string) (float64, bool) {
	n, errN := strconv.ParseFloat(numerator, 64)
	d, errD := strconv.ParseFloat(denominator, 64)
	if errN != nil || errD != nil || d == 0 {
		return 0, false
	}
	if whole == "" {
		return n / d, true
	}
	w, err := strconv.ParseFloat(whole, 64)
	if err != nil || n >= d || math.IsInf(w, 0) {
		return 0, false
	}
	return w + n/d, true
}

// found is the outcome of looking a unit's text up.
type found uint8

const (
	foundNot    found = iota
	foundPrefix       // only the case of an SI prefix differs: mPa for MPa
	foundUnit
)

var spelling = strings.NewReplacer(
	"^2", "2", "^3", "3", "²", "2", "³", "3",
	"º", "°", "˚", "°", "⋅", "·", "° ", "°", " / ", "/", " /", "/", "/ ", "/",
)

// spell brings the ways to write a unit to the one of the table.
func spell(text string) string {
	return spelling.Replace(strings.Join(strings.Fields(text), " "))
}

// lookUp finds the unit that text names in dimension d. Upper and lower case may be
// mixed up as long as this makes no other unit.
func (d Dimension) lookUp(text string) (knownUnit, found) {
	units := knownUnits[d]
	for _, u := range units {
		if text == u.name || slices.Contains(u.aliases, text) {
			return u, foundUnit
		}
	}
	for _, u := range units {
		for _, name := range append([]string{u.name}, u.aliases...) {
			switch {
			case !strings.EqualFold(text, name):
			case samePrefixes(text, name):
				return u, foundUnit
			default:
				return u, foundPrefix
			}
		}
	}
	return knownUnit{}, foundNot
}

// prefixed lists the parts of units that begin with milli or mega.
var prefixed = []string{"MPa", "mbar", "ml", "ms", "mm", "mm2", "mm3", "mmHg", "mm Hg"}

// samePrefixes reports whether text, which equals the unit's name but for its case,
// keeps milli and mega apart as the name does: they are a factor of a thousand million
// apart. In capitals throughout, MM can only be a millimetre.
func samePrefixes(text, name string) bool {
	texts := strings.Split(text, "/")
	for i, part := range strings.Split(name, "/") {
		if !slices.Contains(prefixed, part) || texts[i][0] == part[0] {
			continue
		}
		if !strings.HasPrefix(texts[i], "MM") {
			return false
		}
	}
	return true
}

// otherDimension returns a dimension other than d whose unit text is.
func otherDimension(d Dimension, text string) (Dimension, bool) {
	for other := range dimCount {
		if other == d || other == DimVacuum { // of which every unit is another's too
			continue
		}
		if _, f := other.lookUp(text); f == foundUnit {
			return other, true
		}
	}
	return DimNone, false
}

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
	known("inHg", InchOfMercury, "in Hg", "in. Hg", `"Hg`, `" Hg`, "″Hg", "inch Hg", "inches Hg", "inch of mercury", "inches of mercury", "in of mercury"),
	known("psi", PoundPerSquareInch, "lbf/in2", "lb/in2", "pounds per square inch"),
}

// vacuumUnits are those of a pressure; a column of inches alone is one of mercury, as a
// vacuum gauge has it.
var vacuumUnits = func() []knownUnit {
	units := slices.Clone(pressureUnits)
	i := slices.IndexFunc(units, func(u knownUnit) bool { return u.name == "inHg" })
	units[i].aliases = slices.Concat(units[i].aliases, []string{"Hg", "in", "in.", "inch", "inches", `"`, "″", "”", "''",
		"inches of vacuum", "inch of vacuum", "in of vacuum", "inches vacuum", "in vacuum", "inches vac", "in vac", `" vacuum`, `" vac`, `" of vacuum`})
	return units
}()

// knownUnits lists, for every dimension, the units a text may carry, in the order in
// which a message names them. Exponents are plain digits here; foldUnit sees to the rest.
var knownUnits = [dimCount][]knownUnit{
	DimPressure: pressureUnits,
	DimVacuum:   vacuumUnits,
	DimForce: {
		known("N", 1),
		known("kN", 1e3),
		known("kgf", KilogramForce),
		known("lbf", PoundForce, "lb", "lbs", "lb.", "lbs.", "pound", "pounds", "#"),
	},
	DimLength: {
		known("mm", 1e-3, "millimetre", "millimetres", "millimeter", "millimeters"),
		known("cm", 1e-2, "centimetre", "centimetres", "centimeter", "centimeters"),
		known("m", 1, "metre", "metres", "meter", "meters"),
		known("in", Inch, `"`, "″", "”", "''", "in.", "inch", "inches", "ins"),
		known("ft", Foot, "'", "′", "foot", "feet", "ft."),
	},
	DimArea: {
		known("mm2", 1e-6, "sq mm"),
		known("cm2", 1e-4, "sq cm"),
		known("m2", 1),
		known("in2", SquareInch, "sq in", "sq. in.", "square inch", "square inches"),
	},
	DimVolume: {
		known("cm3", 1e-6, "cc", "cu cm"),
		known("ml", 1e-6),
		known("L", Litre, "litre", "litres", "liter", "liters", "ltr"),
		known("mm3", 1e-9),
		known("m3", 1),
		known("in3", CubicInch, "cu in", "cu. in.", "cu.in.", "ci", "cid", "cui", "cubic inch", "cubic inches"),
		known("qt", Quart, "quart", "quarts"),
		known("gal", Gallon, "gallon", "gallons"),
	},
	DimMass: {
		known("kg", 1, "kilo", "kilos", "kilogram", "kilograms"),
		known("lb", Pound, "lbs", "lb.", "lbs.", "pound", "pounds", "#"),
		known("t", 1000, "tonne", "tonnes"),
	},
	DimAcceleration: {
		known("g", StandardGravity),
		known("m/s2", 1),
		known("ft/s2", Foot),
	},
	DimSpeed: {
		known("km/h", 1e3/Hour, "kph", "kmh"),
		known("m/s", 1),
		known("mph", MilePerHour, "miles per hour"),
		known("ft/s", Foot),
	},
	DimTemperature: {
		{name: "°C", scale: 1, offset: ZeroCelsius, aliases: []string{"C", "deg C", "degC"}},
		{name: "°F", scale: fahrenheitDegree, offset: zeroFahrenheit, aliases: []string{"F", "deg F", "degF"}},
		known("K", 1),
	},
	DimTime: {
		known("s", 1, "sec", "secs", "sec.", "second", "seconds"),
		known("ms", 1e-3),
		known("min", Minute, "mins", "min.", "minute", "minutes"),
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
		known("L/min", Litre/Minute, "lpm"),
		known("L/s", Litre),
		known("m3/s", 1),
		known("cfm", CubicFoot/Minute, "ft3/min"),
	},
	DimMassFlow: {
		known("g/s", 1e-3),
		known("kg/s", 1),
		known("lb/min", Pound/Minute),
	},
	DimRatio: {
		known("%", 0.01, "percent"),
	},
}

// wanted holds, for every dimension, two examples of a text that would be right and
// say the same, and a half width for the first.
var wanted = [dimCount]struct{ first, second, half string }{
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
	DimRatio:        {"0.85", "85 %", "0.05"},
}

// example returns the dimension with one or two texts that would be right.
func (d Dimension) example() string {
	w := wanted[d]
	if w.first == w.second {
		return d.String() + `, e.g. "` + w.first + `"`
	}
	return d.String() + `, e.g. "` + w.first + `" or "` + w.second + `"`
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
	return d.String() + " in " + list + `, e.g. "` + wanted[d].first + `"`
}

// customary are the names of the units, among those that texts may carry, that are
// used in the United States alone.
var customary = []string{
	"inHg", "psi", "lbf", "in", "ft", "in2", "in3", "qt", "gal", "lb", "ft/s2", "mph", "ft/s", "°F", "lbf/in", "in3/psi", "cfm",
	"lb/min",
}

// SystemOf returns the system of the unit that a quantity of dimension d was typed in,
// so that an answer can use it too. A text without a unit, or with none that is known,
// is SI.
func SystemOf(d Dimension, text string) System {
	if d >= dimCount {
		return SI
	}
	text, _, _ = cutPlusMinus(text)
	unit, reason := unitText(text)
	if reason != "" {
		return SI
	}
	if u, f := d.lookUp(spell(unit)); f == foundUnit && slices.Contains(customary, u.name) {
		return US
	}
	return SI
}

// ParseError says why a text is not the quantity that was wanted.
type ParseError struct {
	Text   string    // what was read
	Dim    Dimension // what it was read as
	Reason string    // what is wrong, as a predicate: "has no unit"
	Want   string    // what would be right, with an example
}

// Error returns one line: the text, what is wrong with it, what would be right.
func (e *ParseError) Error() string {
	return quote(e.Text) + " " + e.Reason + "; want " + e.Want
}

// quote keeps an error message to one line, however long the text.
func quote(text string) string {
	const most = 60
	if r := []rune(text); len(r) > most {
		text = string(r[:most]) + "…"
	}
	return strconv.Quote(text)
}
