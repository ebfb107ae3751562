package ask

import (
	"errors"
	"fmt"
	"strings"

	"kneepoint/internal/pattern"
	"kneepoint/sim/si"
)

// A Slip is an answer that is not understood: what was read, and what would be right.
type Slip struct{ Read, Want string }

func (s *Slip) Error() string { return fmt.Sprintf("read %s, want %s", s.Read, s.Want) }

func slip(read, want string) error { return &Slip{fmt.Sprintf("%q", shortened(read)), want} }

func shortened(text string) string {
	const most = 60
	if r := []rune(text); len(r) > most {
		return string(r[:most]) + "…"
	}
	return text
}

// A span is a figure in SI that lies anywhere between two ends, which may be one.
type span struct{ low, high float64 }

func exactly(v float64) span { return span{v, v} }

func (s span) middle() float64 { return (s.low + s.high) / 2 }
func (s span) half() float64   { return (s.high - s.low) / 2 }

// text writes the span as a scenario reads it, a range by its middle and its half width.
func (s span) text(d si.Dimension, u si.System) string {
	middle := si.FormatFine(d, s.middle(), u)
	if s.half() == 0 {
		return middle
	}
	return middle + " ± " + si.FormatFine(d, s.half(), u)
}

var (
	about   = pattern.Lazy(`(?i)^(?:about|around|approx(?:imately)?\.?|roughly|maybe|some|ca\.?|~|≈|circa)\s*`)
	numbers = pattern.Lazy(`(\d),(\d{1,2})\b`)
	groups  = pattern.Lazy(`\b(\d{1,2})[, ](\d{3})\b`)
	ish     = pattern.Lazy(`(?i)(\d)\s*-?ish\b`)
	mercury = pattern.Lazy(`(?i)(?:\bin(?:ches|ch|\.)?|″|”|")?\s*(?:of\s+)?(?:hg|mercury)\b\.?`)
	inches  = pattern.Lazy(`(?i)(\d)\s*(?:inches|inch|ins|\'\'|″|”|")`)
	words   = []struct {
		spelled pattern.Pattern
		unit    string
	}{
		{pattern.Lazy(`(?i)\b(?:inches|inch|ins)\b\.?`), "in"},
		{pattern.Lazy(`(?i)(\d|\b)\s*(?:(?:pounds|pound|lbs)\b|#)\.?`), "$1 lb"},
		{pattern.Lazy(`(?i)\b(?:feet|foot)\b`), "ft"},
		{pattern.Lazy(`(?i)\b(?:met(?:er|re)s?)\b`), "m"},
		{pattern.Lazy(`(?i)\b(?:lit(?:er|re)s?)\b`), "L"},
		{pattern.Lazy(`(?i)\b(?:gallons?)\b`), "gal"},
		{pattern.Lazy(`(?i)\b(?:quarts?)\b`), "qt"},
		{pattern.Lazy(`(?i)\b(?:kilos?|kilograms?)\b`), "kg"},
		{pattern.Lazy(`(?i)\bpercent\b`), "%"},
	}
)

// plain brings words and signs within an answer to one spelling, for the readers that
// look for figures in it: units, decimal commas, thousands in groups, "about".
func plain(text string) string {
	text = strings.Trim(strings.TrimSpace(text), `'`)
	text = ish().ReplaceAllString(about().ReplaceAllString(text, ""), "$1")
	text = groups().ReplaceAllString(text, "$1$2")
	text = numbers().ReplaceAllString(text, "$1.$2")
	if !strings.Contains(strings.ToLower(text), "mm") {
		text = mercury().ReplaceAllString(text, " inHg")
	}
	text = inches().ReplaceAllString(text, "$1 in")
	for _, w := range words {
		text = w.spelled().ReplaceAllString(text, w.unit)
	}
	return strings.Join(strings.Fields(text), " ")
}

// quantity reads a figure or a range of one, such as "9-12 inHg" or "17 to 18". The unit
// that stands in where none was written is asked of unit, which may refuse by returning
// nothing. What lies outside the bounds cannot be what was asked for.
func quantity(d si.Dimension, text string, unit func(bare float64) string, from, to float64, want string) (span, error) {
	read := plain(text)
	s, err := spanned(d, read, unit)
	if err != nil || s.low < from || s.high > to {
		return span{}, slip(text, want)
	}
	return s, nil
}

func spanned(d si.Dimension, text string, unit func(bare float64) string) (span, error) {
	if low, high, err := si.ParseRange(d, text); err == nil {
		return span{low, high}, nil
	}
	if low, high, err := si.ParseRange(si.DimNone, text); err == nil && unit != nil && unit(high) != "" {
		a, errA := si.Parse(d, fmt.Sprintf("%g %s", low, unit(high)))
		b, errB := si.Parse(d, fmt.Sprintf("%g %s", high, unit(high)))
		return span{a, b}, errors.Join(errA, errB)
	}
	if m := unitFirst().FindStringSubmatch(text); m != nil {
		return spanned(d, m[1]+" to "+m[3]+" "+m[2], unit)
	}
	if middle, half, err := si.ParseSpread(d, text); err == nil {
		return span{middle - half, middle + half}, nil
	}
	v, err := one(d, text, unit)
	return exactly(v), err
}

// unitFirst matches a range with its unit behind the first end: "9 inHg to 12".
var unitFirst = pattern.Lazy(`^([\d.]+)\s*([A-Za-z]\S*)\s*(?:to|-|or)\s*([\d.]+)$`)

// one reads a single figure.
func one(d si.Dimension, text string, unit func(bare float64) string) (float64, error) {
	v, err := si.Parse(d, text)
	if err == nil {
		return v, nil
	}
	bare, errBare := si.Parse(si.DimNone, text)
	if errBare != nil || unit == nil || unit(bare) == "" {
		return 0, err
	}
	return si.Parse(d, text+" "+unit(bare))
}

// always is a unit that stands in for any bare number.
func always(unit string) func(float64) string { return func(float64) string { return unit } }

// inchesOrMillimetres tells by size: no part of a brake has so many inches, or so few
// millimetres.
func inchesOrMillimetres(bare float64) string {
	if bare <= 42 {
		return "in"
	}
	return "mm"
}
