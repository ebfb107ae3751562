package si

import (
	"math"
	"regexp"
	"strconv"
	"strings"
)

// A number is decimal, or a fraction as bores are sold: "7/8", "1 1/8", "1-1/8".
var numberPattern = regexp.MustCompile(
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
		return 0, "", `has a comma (write 10.5 or 1000)`
	case strings.Contains(text, "_"):
		return 0, "", "has an underscore"
	case strings.HasPrefix(digits, "0x"):
		return 0, "", "is hexadecimal"
	}
	m := numberPattern.FindStringSubmatch(text)
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
