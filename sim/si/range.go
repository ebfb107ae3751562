package si

import (
	"math"
	"strings"

	"kneepoint/internal/pattern"
)

// ParseRange reads what is known of a quantity where that is no single figure: a range,
// such as "3 to 4 inHg", "17-18 inHg" or "between 2 and 3 s", or a bound, such as
// "> 30 s", "less than 1 kPa" or "8 or more". Low and high are in SI units; an open end is
// infinite. A text with a single figure is no range. The error is a [*ParseError].
func ParseRange(d Dimension, text string) (low, high float64, err error) {
	bare := strings.Join(strings.Fields(rangeSpelling.Replace(text)), " ")
	if bound, above, ok := cutBound(bare); ok {
		v, err := Parse(d, bound)
		if err != nil {
			return 0, 0, err
		}
		if above {
			return v, math.Inf(1), nil
		}
		return math.Inf(-1), v, nil
	}
	first, second, ok := cutRange(bare)
	if !ok {
		return 0, 0, &ParseError{Text: text, Dim: d, Reason: "is no range and no bound", Want: d.exampleRange()}
	}
	_, unit, reason := cutNumber(first)
	if _, other, otherReason := cutNumber(second); reason == "" && otherReason == "" && unit == "" {
		first += " " + other
	}
	if low, err = Parse(d, strings.TrimSpace(first)); err == nil {
		high, err = Parse(d, second)
	}
	if err == nil && low > high {
		err = &ParseError{Text: text, Dim: d, Reason: "begins above its end", Want: d.exampleRange()}
	}
	if err != nil {
		return 0, 0, err
	}
	return low, high, nil
}

var rangeSpelling = strings.NewReplacer("–", "-", "—", "-", "−", "-", "≥", ">", "≤", "<", ">=", ">", "=>", ">", "<=", "<", "=<", "<")

var (
	boundAbove = pattern.Lazy(`(?i)^(?:>|more than|over|above|at least|longer than)\s*(.*)$`)
	boundBelow = pattern.Lazy(`(?i)^(?:<|less than|fewer than|under|below|at most|up to)\s*(.*)$`)
	orMore     = pattern.Lazy(`(?i)^(.*\S)\s*(?:\+|or more|or above|or longer)$`)
	orLess     = pattern.Lazy(`(?i)^(.*\S)\s*(?:or less|or fewer|or below)$`)
	// The number before a hyphen has to end there, so that 1-1/8 stays one number.
	rangeWords  = pattern.Lazy(`(?i)^(?:between |from )?(.*\S)\s*(?: to | or | and |\.\.\.?|…)\s*(\S.*)$`)
	rangeHyphen = pattern.Lazy(`^([0-9.,/]+(?: ?[^-0-9 ][^-0-9]*)?)\s*-\s*([0-9.].*)$`)
)

func cutBound(text string) (bound string, above, ok bool) {
	for _, c := range []struct {
		form  pattern.Pattern
		above bool
	}{{boundAbove, true}, {boundBelow, false}, {orMore, true}, {orLess, false}} {
		if m := c.form().FindStringSubmatch(text); m != nil {
			return m[1], c.above, true
		}
	}
	return "", false, false
}

func cutRange(text string) (first, second string, ok bool) {
	for _, form := range []pattern.Pattern{rangeWords, rangeHyphen} {
		if m := form().FindStringSubmatch(text); m != nil {
			return strings.TrimSpace(m[1]), strings.TrimSpace(m[2]), true
		}
	}
	return "", "", false
}

// exampleRange returns the dimension with a range and a bound that would be right.
func (d Dimension) exampleRange() string {
	w := wanted[d]
	return d.String() + `, e.g. "` + w.first + `", "` + w.half + ` to ` + w.first + `" or "> ` + w.first + `"`
}
