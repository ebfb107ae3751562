package si

import "strings"

// ParseSpread reads a quantity with its half width, such as "11 inHg ± 1",
// "11 inHg +/- 0.5 kPa" or "11 ± 1 inHg"; without a half width it is 0. Both are
// returned in SI units and finite. A half width is a difference: ±5 °F is 2.8 K. The
// error is a [*ParseError].
func ParseSpread(d Dimension, text string) (value, halfWidth float64, err error) {
	fail := func(reason, want string) (float64, float64, error) {
		return 0, 0, &ParseError{Text: text, Dim: d, Reason: reason, Want: want}
	}
	middle, half, spread := cutPlusMinus(text)
	if !spread {
		value, err = Parse(d, text)
		return value, 0, err
	}
	if d >= dimCount {
		return fail(unknownDimension())
	}
	middleUnit, reason := unitText(middle)
	if reason != "" {
		return fail(reason, d.example())
	}
	halfUnit, reason := unitText(half)
	if reason != "" {
		return fail("has a half width that "+reason, d.exampleSpread())
	}
	switch {
	case d == DimRatio && (middleUnit == "%") != (halfUnit == "%"):
		// 0.85 ± 5 % may mean 0.85 ± 0.05 or 0.85 ± 0.0425.
		return fail("has % on one side only", d.exampleSpread())
	case d == DimRatio:
		// Both sides stand for themselves: the unit of "6:1" is no unit.
	case middleUnit == "":
		middleUnit = halfUnit
	case halfUnit == "":
		halfUnit = middleUnit
	}
	value, reason, want := parse(d, middle, middleUnit)
	if reason != "" {
		return fail(reason, want)
	}
	halfWidth, reason, want = parseDifference(d, half, halfUnit)
	if reason != "" {
		return fail("has a half width that "+reason, want)
	}
	if halfWidth < 0 {
		return fail("has a negative half width", d.exampleSpread())
	}
	return value, halfWidth, nil
}

// cutPlusMinus splits text at the first of the signs for plus or minus.
func cutPlusMinus(text string) (middle, half string, ok bool) {
	at, length := len(text), 0
	for _, sign := range []string{"±", "+/-", "+/−", "+-"} {
		if i := strings.Index(text, sign); i >= 0 && i < at {
			at, length = i, len(sign)
		}
	}
	return text[:at], text[at+length:], length > 0
}

// exampleSpread returns the dimension with a text that would be right for a spread.
func (d Dimension) exampleSpread() string {
	return d.String() + `, e.g. "` + wanted[d].first + ` ± ` + wanted[d].half + `"`
}
