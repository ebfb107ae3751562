package scenario

import (
	"math"
	"strconv"
	"strings"

	"kneepoint/internal/pattern"
	"kneepoint/sim/si"
)

// The size of a tyre by the code of ISO 4000-1 (from memory): the width in mm, the height
// of its side in percent of that, the rim in inches. The sizes of light trucks also begin
// with the height in inches: 31x10.50R15.
var (
	tyreCode = pattern.Lazy(`(?i)^(?:P|LT)?\s*(\d{3})\s*/\s*(\d{2})\s*-?\s*(?:[SHVWYZ])?[RBD]?\s*-?\s*(\d{2})(?:\s*\d{2,3}[A-Z])?$`)
	tyreHigh = pattern.Lazy(`(?i)^(\d{2}(?:\.\d+)?)\s*[x×]\s*\d{1,2}(?:\.\d+)?\s*-?\s*[RBD]?\s*-?\s*\d{2}\s*(?:LT)?$`)
)

// rollingShare is the rolling radius of a radial tyre over its diameter: 3.05 diameters
// to a turn (ETRTO, from memory).
const rollingShare = 3.05 / (2 * math.Pi)

// tyreRadius returns the rolling radius of a tyre by the code on its side, such as
// "P205/70R14".
func tyreRadius(code string) (si.Length, bool) {
	d, ok := TyreDiameter(code)
	return RollingRadius(d), ok
}

// RollingRadius is that of a radial tyre of a diameter.
func RollingRadius(diameter si.Length) si.Length { return rollingShare * diameter }

// TyreDiameter is how high a tyre is by the code on its side.
func TyreDiameter(code string) (si.Length, bool) {
	code = strings.TrimSpace(code)
	if m := tyreHigh().FindStringSubmatch(code); m != nil {
		v, err := strconv.ParseFloat(m[1], 64)
		return si.Length(v * si.Inch), err == nil
	}
	m := tyreCode().FindStringSubmatch(code)
	if m == nil {
		return 0, false
	}
	width, _ := strconv.ParseFloat(m[1], 64)   // mm
	profile, _ := strconv.ParseFloat(m[2], 64) // % of the width
	rim, _ := strconv.ParseFloat(m[3], 64)     // in
	return si.Length(rim*si.Inch + 2*width*1e-3*profile/100), true
}
