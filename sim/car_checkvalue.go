package sim

import (
	"fmt"
	"math"
	"slices"

	"kneepoint/sim/si"
)

// aboveZero stands, as a lower limit, for "more than 0". It is far below any area in
// m² or volume in m³ that a part can have, and far above where divisions fail.
const aboveZero = 1e-12

// mustLie refuses a value outside from..to, and one that is not a number.
func mustLie[T si.Quantity](k *checker, field *T, from, to T, with ...any) {
	v := *field
	if v >= from && v <= to {
		return
	}
	want := printedSpan(k, from, to)
	if float64(from) == aboveZero {
		want = "more than 0, at most " + printed(k, to)
	}
	k.add(true, field, printed(k, v), want, with...)
}

// shouldLie warns about a possible value outside from..to.
func shouldLie[T si.Quantity](k *checker, field *T, from, to T) {
	v := *field
	if v >= from && v <= to || math.IsNaN(float64(v)) {
		return
	}
	name := k.config.FieldPath(field)
	if slices.ContainsFunc(k.found, func(p Problem) bool { return p.Fatal && p.Field == name }) {
		return
	}
	k.add(false, field, printed(k, v), printedSpan(k, from, to)+" as a rule")
}

func printedSpan[T si.Quantity](k *checker, from, to T) string {
	return printed(k, from) + " to " + printed(k, to)
}

// mustBeOneOf refuses a word that is none of the known ones.
func mustBeOneOf[T ~string](k *checker, field *T, known ...T) {
	if !slices.Contains(known, *field) {
		k.add(true, field, fmt.Sprintf("%q", string(*field)), quotedChoice(known))
	}
}

// quotedChoice prints words as a choice.
func quotedChoice[T ~string](words []T) string {
	text := ""
	for i, w := range words {
		switch {
		case i == 0:
		case i == len(words)-1:
			text += " or "
		default:
			text += ", "
		}
		text += fmt.Sprintf("%q", string(w))
	}
	return text
}

// air shows an ambient pressure beside a vacuum, in units of vacuum.
func air(k *checker, p si.Pressure) string { return printed(k, si.Vacuum(p)) }

// printed shows a value finely enough to tell it from its limit.
func printed[T si.Quantity](k *checker, v T) string {
	f := float64(v)
	switch {
	case math.IsNaN(f):
		return "no number"
	case math.IsInf(f, 0):
		return "an infinite value"
	}
	text := si.FormatFine(v.Dimension(), f, k.units)
	switch {
	case v.Dimension() == si.DimVacuum && f != 0:
		other := si.US
		if k.units == si.US {
			other = si.SI
		}
		return text + " (" + si.FormatFine(si.DimVacuum, f, other) + ")"
	case v.Dimension() == si.DimArea && math.Abs(f) >= 0.1 && k.units == si.SI:
		return fmt.Sprintf("%.4g m²", f)
	}
	return text
}
