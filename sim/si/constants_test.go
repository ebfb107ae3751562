package si

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Conversion factors of NIST SP 811 (2008), appendix B, as printed there: rounded to
// seven figures unless exact. "secondary copy" was read in a public transcript of table
// B.9, "from memory" was not looked up.
func TestFactorsAgreeWithNISTSP811(t *testing.T) {
	const (
		copied = "secondary copy"
		memory = "from memory"
	)
	for _, c := range []struct {
		dim     Dimension
		unit    string
		printed string
		trust   string
	}{
		{DimPressure, "inHg", "3.386389E+03", copied},
		{DimPressure, "mmHg", "1.333224E+02", copied},
		{DimPressure, "psi", "6.894757E+03", copied},
		{DimPressure, "bar", "1.0E+05", copied},
		{DimPressure, "mbar", "1.0E+02", memory},
		{DimForce, "lbf", "4.448222E+00", copied},
		{DimForce, "kgf", "9.80665E+00", copied},
		{DimLength, "in", "2.54E-02", copied},
		{DimLength, "ft", "3.048E-01", copied},
		{DimArea, "in2", "6.4516E-04", memory},
		{DimVolume, "in3", "1.638706E-05", memory},
		{DimVolume, "gal", "3.785412E-03", copied},
		{DimVolume, "qt", "9.463529E-04", copied},
		{DimVolume, "L", "1.0E-03", copied},
		{DimMass, "lb", "4.535924E-01", copied},
		{DimAcceleration, "g", "9.80665E+00", memory},
		{DimAcceleration, "ft/s2", "3.048E-01", memory},
		{DimSpeed, "mph", "4.4704E-01", memory},
		{DimSpeed, "km/h", "2.777778E-01", memory},
		{DimTime, "min", "6.0E+01", copied},
		{DimRotation, "rpm", "1.666667E-02", memory},
		{DimStiffness, "lbf/in", "1.751268E+02", memory},
		{DimVolumeFlow, "cfm", "4.719474E-04", memory},
		{DimMassFlow, "lb/min", "7.559873E-03", memory},
	} {
		got, err := Parse(c.dim, "1 "+c.unit)
		require.NoError(t, err)
		mantissa, _, _ := strings.Cut(c.printed, "E")
		digits := len(mantissa) - 1
		rounded, err := strconv.ParseFloat(strconv.FormatFloat(got, 'e', max(digits, 7)-1, 64), 64)
		require.NoError(t, err)
		want, err := strconv.ParseFloat(c.printed, 64)
		require.NoError(t, err)
		assert.InEpsilon(t, want, rounded, 1e-15, "%s (%s)", c.unit, c.trust)
	}
}

// The standard atmosphere is 760 mmHg to within a part in seven million, by the history
// of its definition (from memory), and 29.92 inHg to four figures on any barometer.
func TestStandardAtmosphereInMercury(t *testing.T) {
	assert.InEpsilon(t, 760, StandardAtmosphere/MillimetreOfMercury, 1.5e-7)
	assert.InDelta(t, 29.92, StandardAtmosphere/InchOfMercury, 0.005)
}

// Fixed points by definition: the triple point of water is 0.01 °C, the scales of Celsius
// and Fahrenheit meet at -40, water freezes at 32 °F (from memory).
func TestTemperatureScales(t *testing.T) {
	for text, want := range map[string]float64{
		"0.01 °C":    273.16,
		"-40 °C":     233.15,
		"-40 °F":     233.15,
		"32 F":       273.15,
		"212 F":      373.15,
		"-459.67 °F": 0,
		"20 C":       293.15,
		"68 degF":    293.15,
		"293.15 K":   293.15,
		"293.15 k":   293.15,
	} {
		got, err := Parse(DimTemperature, text)
		require.NoError(t, err, text)
		assert.InDelta(t, want, got, 1e-10, text)
	}
}
