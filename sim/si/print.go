package si

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"kneepoint/internal/portable"
)

// missing stands for a number that does not exist.
const missing = "—"

// Format prints the SI value v with its unit to the resolution of a workshop gauge:
// "18.5 inHg", "870 psi". A NaN or an infinity prints as a dash.
func Format(d Dimension, v float64, sys System) string {
	if d == DimNone {
		return FormatFine(d, v, sys)
	}
	return d.ladder(sys).pick(v).rounded(v)
}

// FormatUp is Format of what is needed at least: rounded up, so that what is printed is
// enough.
func FormatUp(d Dimension, v float64, sys System) string {
	u := d.ladder(sys).pick(v)
	const nearly = 1e-9 // of a step, for what is a whole number of them
	return u.rounded(u.SI(math.Ceil(u.Of(v)/u.Step-nearly) * u.Step))
}

// FormatGas prints the absolute pressure of a gas, such as the ambient pressure, more
// finely than [Format] prints a line pressure: to 1 kPa or 0.1 psi.
func FormatGas(p Pressure, sys System) string {
	if sys != US {
		sys = SI
	}
	return gas[sys].rounded(float64(p))
}

// FormatLow prints a small line pressure, such as that of a residual valve, as [FormatGas]
// prints a gas's, without zeros behind the point.
func FormatLow(p Pressure, sys System) string {
	if sys != US {
		sys = SI
	}
	u := gas[sys]
	n := math.Round(u.Of(float64(p))/u.Step) * u.Step
	return u.with(n, strconv.FormatFloat(n, 'g', 6, 64))
}

// FormatFine prints the SI value v with its unit to four significant digits. A NaN or an
// infinity prints as a dash.
func FormatFine(d Dimension, v float64, sys System) string {
	u := d.ladder(sys).pick(v)
	if d == DimPressure && sys != US && math.Abs(v) < 1e6 {
		u = gas[SI]
	}
	return u.fine(v)
}

// rounded prints v to the step of the unit.
func (u Unit) rounded(v float64) string {
	n := math.Round(u.Of(v)/u.Step) * u.Step
	return u.with(n, strconv.FormatFloat(n, 'f', decimals(u.Step), 64))
}

// fine prints v to four significant digits, without exponent where a person would.
func (u Unit) fine(v float64) string {
	text := strconv.FormatFloat(u.Of(v), 'g', 4, 64)
	n, err := strconv.ParseFloat(text, 64)
	if err == nil && math.Abs(n) >= 1e-6 && math.Abs(n) < 1e9 {
		text = strconv.FormatFloat(n, 'f', -1, 64)
	}
	return u.with(n, text)
}

// with puts the unit behind the text of the number n.
func (u Unit) with(n float64, text string) string {
	if math.IsNaN(n) || math.IsInf(n, 0) {
		return missing
	}
	if n == 0 {
		text = strings.TrimPrefix(text, "-")
	}
	if u.Name == "" {
		return text
	}
	return text + " " + u.Name
}

// decimals returns how many digits behind the point a step needs.
func decimals(step float64) int {
	text := strconv.FormatFloat(step, 'f', -1, 64)
	if point := strings.IndexByte(text, '.'); point >= 0 {
		return len(text) - point - 1
	}
	return 0
}

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
	k := portable.Pow(10, float64(digits-1)-math.Floor(portable.Log10(math.Abs(v))))
	return math.Round(v*k) / k
}

// Spanned joins both ends of a range as printed; where they print alike it is one figure.
func Spanned(low, high string) string {
	if low == high {
		return low
	}
	return low + " to " + high
}

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
