package si

import (
	"math"
	"strconv"
	"strings"
)

// FormatSpan prints two SI values in one unit to the resolution of a workshop gauge:
// "8.5 to 13.5 inHg"; where both print alike it prints one of them. Where one is a NaN or an infinity it prints a dash.
func FormatSpan(d Dimension, low, high float64, sys System) string {
	u := d.ladder(sys).pick(math.Max(math.Abs(low), math.Abs(high)))
	from := math.Round(u.Of(low)/u.Step) * u.Step
	if math.IsNaN(from) || math.IsInf(from, 0) {
		return missing
	}
	begin, end := strconv.FormatFloat(from+0, 'f', decimals(u.Step), 64), u.rounded(high)
	if number, _, _ := strings.Cut(end, " "); number == begin {
		return end
	}
	return begin + " to " + end
}
