package si

import (
	"fmt"
	"math"
	"strings"
)

// Show prints a quantity for people in the usual unit of a system, to the digits that a
// gauge shows.
func Show[T Quantity](v T, sys System) string { return Format(v.Dimension(), float64(v), sys) }

// Seconds prints a time to 0.1 s.
func Seconds(t Time) string {
	if t > 0 && t < 0.05 {
		return "less than 0.1 s"
	}
	return strings.TrimSuffix(fmt.Sprintf("%.1f", float64(t)), ".0") + " s"
}

// Significant rounds to a number of significant digits.
func Significant(v float64, digits int) float64 {
	if v == 0 {
		return 0
	}
	k := math.Pow(10, float64(digits-1)-math.Floor(math.Log10(math.Abs(v))))
	return math.Round(v*k) / k
}

// Spanned joins both ends of a range as printed; where they print alike it is one figure.
func Spanned(low, high string) string {
	if low == high {
		return low
	}
	return low + " to " + high
}
