// Package portable has the functions of package math that are written in assembly for
// some processors, and differ there in the last digit: a figure has to be the same in a
// browser as on the command line, and on a processor with fused multiply-add as on one
// without. They are put together from those of package math that are Go everywhere.
package portable

import "math"

// Exp returns e to the x, to some four units of the last place.
func Exp(x float64) float64 {
	switch {
	case x < -746:
		return 0
	case x < -700: // whose inverse is too large
		half := Exp(x / 2)
		return half * half
	case x < 0:
		return 1 / Exp(-x)
	}
	// With the integer part in the exponent of the result nothing is lost to it.
	n := math.Floor(x * (1 / math.Ln2))
	if n > 1023 {
		return math.Exp2(x * (1 / math.Ln2)) // too large, or not a number
	}
	r := (x - n*ln2High) - n*ln2Low
	return math.Ldexp(math.Expm1(r)+1, int(n))
}

// The logarithm of 2 in two parts, the first with its last bits empty, so that its
// products with whole numbers are exact.
const (
	ln2High = 6.93147180369123816490e-01
	ln2Low  = 1.90821492927058770002e-10
)

// Log returns the natural logarithm.
func Log(x float64) float64 {
	if !(x > 0) || math.IsInf(x, 1) {
		return math.Log1p(x - 1) // the special cases
	}
	frac, exp := math.Frexp(x)
	if frac < math.Sqrt2/2 {
		frac *= 2
		exp--
	}
	n := float64(exp)
	return n*ln2High + (math.Log1p(frac-1) + n*ln2Low)
}

// Log2 returns the binary logarithm.
func Log2(x float64) float64 {
	frac, exp := math.Frexp(x)
	if frac == 0.5 {
		return float64(exp - 1) // exact for powers of two
	}
	return float64(exp) + Log(frac)*(1/math.Ln2)
}

// Log10 returns the decimal logarithm.
func Log10(x float64) float64 { return Log2(x) * (math.Ln2 / math.Ln10) }

// Pow returns x to the y, of an x that is not negative.
func Pow(x, y float64) float64 {
	switch {
	case y == 0 || x == 1:
		return 1
	case y == 1:
		return x
	case x == 0 || y == math.Trunc(y) && math.Abs(y) < 64:
		return math.Pow(x, y) // no logarithm in it
	}
	return Exp(y * Log(x))
}

// Hypot returns the root of the sum of two squares, of figures far from the ends of what
// a number can hold.
func Hypot(p, q float64) float64 { return math.Sqrt(p*p + q*q) }

// Mean returns the mean, summed in order.
func Mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

// Line returns the straight line through points by least squares, y = offset + slope x.
func Line(x, y []float64) (offset, slope float64) {
	mx, my := Mean(x), Mean(y)
	var sxy, sxx float64
	for i := range x {
		sxy += (x[i] - mx) * (y[i] - my)
		sxx += (x[i] - mx) * (x[i] - mx)
	}
	slope = sxy / sxx
	return my - slope*mx, slope
}
