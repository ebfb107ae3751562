package si

import (
	"math"
	"strings"
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
