package portable

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/stat"
)

// Each is within a few units in the last place of the function of package math.
func TestAsPackageMathHasThem(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 200_000 {
		x := (r.Float64() - 0.5) * 1400
		assert.InEpsilon(t, math.Exp(x), Exp(x), 1e-15, "exp %g", x)
		y := math.Exp((r.Float64() - 0.5) * 1000)
		if math.Abs(y-1) > 1e-3 {
			assert.InEpsilon(t, math.Log(y), Log(y), 4e-16, "log %g", y)
		}
		if y < 0.5 || y > 2 { // near 1 both lose digits, as the binary one does
			assert.InEpsilon(t, math.Log10(y), Log10(y), 2e-15, "log10 %g", y)
		}
		z := math.Exp((r.Float64() - 0.5) * 20)
		p := (r.Float64() - 0.5) * 10
		assert.InEpsilon(t, math.Pow(z, p), Pow(z, p), 2e-14, "%g to the %g", z, p)
		assert.InEpsilon(t, math.Hypot(x, z), Hypot(x, z), 5e-16)
	}
	for _, x := range []float64{0, 1, -1, 700, -700, 1000, -1000, math.Inf(1), math.Inf(-1)} {
		assert.InDelta(t, math.Exp(x), Exp(x), math.Exp(min(x, 700))*1e-15+math.SmallestNonzeroFloat64, "%g", x)
	}
	assert.True(t, math.IsNaN(Exp(math.NaN())) && math.IsNaN(Log(math.NaN())) && math.IsNaN(Log(-1)))
	assert.True(t, math.IsInf(Log(0), -1) && math.IsInf(Log(math.Inf(1)), 1))
	assert.Equal(t, 10.0, Log2(1024))
	assert.InDelta(t, 1e-320, Exp(Log(1e-320)), 1e-322)
}

func TestLine(t *testing.T) {
	x, y := []float64{1, 2, 4, 7}, []float64{2, 2.5, 5, 9}
	offset, slope := Line(x, y)
	a, b := stat.LinearRegression(x, y, nil, false)
	assert.InEpsilon(t, a, offset, 1e-14)
	assert.InEpsilon(t, b, slope, 1e-14)
}
