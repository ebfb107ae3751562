package si

import (
	"math"
	"strconv"
)

// FormatSpan prints two SI values in one unit to the resolution of a workshop gauge:
// "8.5 to 13.5 inHg". Where one is a NaN or an infinity it prints a dash.
func FormatSpan(d Dimension, low, high float64, sys System) string {
	u := d.ladder(sys).pick(math.Max(math.Abs(low), math.Abs(high)))
	from := math.Round(u.Of(low)/u.Step) * u.Step
	if math.IsNaN(from) || math.IsInf(from, 0) {
		return missing
	}
	return strconv.FormatFloat(from+0, 'f', decimals(u.Step), 64) + " to " + u.rounded(high)
}
