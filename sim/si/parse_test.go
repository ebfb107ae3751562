package si

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParse(t *testing.T) {
	const in = 0.0254
	for _, c := range []struct {
		dim  Dimension
		text string
		want float64
	}{
		// As they are said and written at a counter.
		{DimLength, `9"`, 9 * in}, {DimLength, "9 inch", 9 * in}, {DimLength, "9 in.", 9 * in}, {DimLength, "9''", 9 * in}, {DimLength, "9 Inches", 9 * in},
		{DimLength, "8,5 in", 8.5 * in}, {DimLength, `1 1/8"`, 1.125 * in}, {DimLength, "15/16 inch", 0.9375 * in}, {DimLength, "9 feet", 2.7432},
		{DimVolume, "350 ci", 350 * in * in * in}, {DimVolume, "350 CID", 350 * in * in * in}, {DimVolume, "350 cubic inches", 350 * in * in * in}, {DimVolume, "5,7 Liter", 5.7e-3},
		{DimVacuum, "9 Hg", 30477.5}, {DimVacuum, "9 in Hg", 30477.5}, {DimVacuum, `9"Hg`, 30477.5}, {DimVacuum, "9 inches of mercury", 30477.5}, {DimVacuum, "9 in", 30477.5},
		{DimForce, "50 pounds", 222.4111}, {DimMass, "3,300 pounds", 1496.855}, {DimMass, "3300 lbs.", 1496.855}, {DimMass, "1.500 kg", 1.5},
		// Every unit of the trade that a scenario may use.
		{DimVacuum, "20 inHg", 67727.77},
		{DimPressure, "1000 psi", 6.894757e6},
		{DimPressure, "1.2 bar", 1.2e5},
		{DimPressure, "950 mbar", 95e3},
		{DimVacuum, "500 mmHg", 66661.2},
		{DimVacuum, "66.7 kPa", 66.7e3},
		{DimPressure, "5.5 MPa", 5.5e6},
		{DimPressure, "101325 Pa", 101325},
		{DimForce, "50 lbf", 222.4111},
		{DimForce, "50 lb", 222.4111},
		{DimForce, "10 kgf", 98.0665},
		{DimForce, "600 N", 600},
		{DimLength, "10 in", 0.254},
		{DimLength, "5280 ft", 1609.344},
		{DimLength, "205 mm", 0.205},
		{DimLength, "3 cm", 0.03},
		{DimLength, "0 m", 0},
		{DimArea, "1 in2", 6.4516e-4},
		{DimArea, "466 cm2", 0.0466},
		{DimArea, "18 mm2", 18e-6},
		{DimVolume, "100 in3", 1.638706e-3},
		{DimVolume, "50 cc", 50e-6},
		{DimVolume, "0.6 cm3", 0.6e-6},
		{DimVolume, "3.6 L", 3.6e-3},
		{DimVolume, "250 ml", 0.25e-3},
		{DimVolume, "0.5 gal", 1.892706e-3},
		{DimVolume, "2 qt", 1.892706e-3},
		{DimMass, "3300 lb", 1496.855},
		{DimMass, "1500 kg", 1500},
		{DimAcceleration, "0.5 g", 4.903325},
		{DimAcceleration, "5.9 m/s2", 5.9},
		{DimAcceleration, "20 ft/s2", 6.096},
		{DimSpeed, "60 mph", 26.8224},
		{DimSpeed, "90 km/h", 25},
		{DimRotation, "900 rpm", 15},
		{DimTime, "10 s", 10},
		{DimTime, "250 ms", 0.25},
		{DimTime, "2 min", 120},
		{DimStiffness, "10 lbf/in", 1751.268},
		{DimStiffness, "2.5 N/mm", 2500},
		{DimStiffness, "2500 N/m", 2500},
		{DimCompliance, "0.24 cm3/MPa", 0.24e-12},
		{DimCompliance, "0.0001 in3/psi", 0.0001 * 1.638706e-5 / 6894.757},
		{DimVolumeFlow, "25 L/min", 25e-3 / 60},
		{DimRatio, "4.0", 4},
		{DimNone, "10", 10},

		// Spelling.
		{DimVacuum, "20inHg", 67727.77},
		{DimVacuum, "  20   in Hg ", 67727.77},
		{DimVacuum, "20 inhg", 67727.77},
		{DimVacuum, "20 INHG", 67727.77},
		{DimPressure, "5 KPA", 5e3},
		{DimPressure, "5 kpa", 5e3},
		{DimPressure, "5 MPA", 5e6},
		{DimVacuum, "500 mmhg", 66661.2},
		{DimVacuum, "500 MMHG", 66661.2},
		{DimLength, "25.4 MM", in},
		{DimForce, "600 n", 600},
		{DimForce, "50 LBS", 222.4111},
		{DimVolume, "2 l", 2e-3},
		{DimVolume, "250 mL", 0.25e-3},
		{DimTime, "2 MIN", 120},
		{DimArea, "11 cm²", 11e-4},
		{DimArea, "11 cm^2", 11e-4},
		{DimArea, "2 sq in", 2 * in * in},
		{DimVolume, "2 in³", 2 * in * in * in},
		{DimAcceleration, "5 m/s²", 5},
		{DimStiffness, "2.5 N / mm", 2500},
		{DimTemperature, "20 ° C", 293.15},
		{DimLength, "1 ″", in},
		{DimLength, "2\u00a0in", 2 * in},

		// Numbers.
		{DimLength, "1e3 mm", 1},
		{DimLength, "1E-1 m", 0.1},
		{DimLength, ".5 in", in / 2},
		{DimLength, "5. mm", 0.005},
		{DimLength, "+5 mm", 0.005},
		{DimLength, "-5 mm", -0.005},
		{DimLength, "−5 mm", -0.005},
		{DimLength, "7/8 in", 0.875 * in},
		{DimLength, "7⁄8 in", 0.875 * in},
		{DimLength, "1 1/8 in", 1.125 * in},
		{DimLength, "1-1/8 in", 1.125 * in},
		{DimLength, "1⅛ in", 1.125 * in},
		{DimLength, "½in", in / 2},
		{DimLength, "-1 1/8 in", -1.125 * in},
		{DimRatio, "6:1", 6},
		{DimRatio, "9 : 2", 4.5},
		{DimRatio, "85 %", 0.85},
		{DimRatio, "85%", 0.85},
	} {
		got, err := Parse(c.dim, c.text)
		require.NoError(t, err, "%q", c.text)
		assert.InDelta(t, c.want, got, 1e-6*math.Abs(c.want), "%q", c.text)
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		dim  Dimension
		text string
		want string
	}{
		{DimLength, "10 psi", `"10 psi" is a pressure; want a length, e.g. "10 in" or "254 mm"`},
		{DimForce, "10 psi", `"10 psi" is a pressure; want a force, e.g. "50 lbf" or "222 N"`},
		{DimPressure, "10 in", `"10 in" is a length; want a pressure, e.g. "1000 psi" or "6.9 MPa"`},
		{DimMass, "10 kgf", `"10 kgf" is a force; want a mass, e.g. "3300 lb" or "1500 kg"`},
		{DimArea, "10 l", `"10 l" is a volume; want an area, e.g. "1 in2" or "6.45 cm2"`},
		{DimNone, "3 in", `"3 in" is a length; want a plain number, e.g. "3"`},
		{DimRatio, "6 in", `"6 in" is a length; want a ratio, e.g. "0.85" or "85 %"`},
		{DimLength, "5 %", `"5 %" is a ratio; want a length, e.g. "10 in" or "254 mm"`},

		{DimLength, "10", `"10" has no unit; want a length in mm, cm, m, in or ft, e.g. "10 in"`},
		{DimLength, "0", `"0" has no unit; want a length in mm, cm, m, in or ft, e.g. "10 in"`},
		{DimRotation, "800", `"800" has no unit; want a speed of rotation in rpm or rps, e.g. "800 rpm"`},
		{DimLength, "10 foo", `"10 foo" has the unknown unit "foo"; want a length in mm, cm, m, in or ft, e.g. "10 in"`},
		{DimForce, "50 Nm", `"50 Nm" has the unknown unit "Nm"; want a force in N, kN, kgf or lbf, e.g. "50 lbf"`},
		{DimRatio, "6 x", `"6 x" has the unknown unit "x"; want a ratio, e.g. "0.85" or "85 %"`},
		{DimLength, "6:1", `"6:1" has the unknown unit ":1"; want a length in mm, cm, m, in or ft, e.g. "10 in"`},

		{DimPressure, "5 mPa", `"5 mPa" has "mPa", where small m is milli and capital M is mega; want "MPa"`},
		{DimPressure, "5 mpa", `"5 mpa" has "mpa", where small m is milli and capital M is mega; want "MPa"`},
		{DimPressure, "5 Mbar", `"5 Mbar" has "Mbar", where small m is milli and capital M is mega; want "mbar"`},
		{DimLength, "3 Mm", `"3 Mm" has "Mm", where small m is milli and capital M is mega; want "mm"`},
		{DimTime, "3 MS", `"3 MS" has "MS", where small m is milli and capital M is mega; want "ms"`},
		{DimCompliance, "0.24 cm3/mPa", `"0.24 cm3/mPa" has "cm3/mPa", where small m is milli and capital M is mega; want "cm3/MPa"`},
		{DimStiffness, "2 N/Mm", `"2 N/Mm" has "N/Mm", where small m is milli and capital M is mega; want "N/mm"`},

		{DimLength, "", `"" is empty; want a length, e.g. "10 in" or "254 mm"`},
		{DimLength, " \t ", `" \t " is empty; want a length, e.g. "10 in" or "254 mm"`},
		{DimLength, "in", `"in" does not begin with a number; want a length, e.g. "10 in" or "254 mm"`},
		{DimLength, "NaN in", `"NaN in" does not begin with a number; want a length, e.g. "10 in" or "254 mm"`},
		{DimLength, "-Inf in", `"-Inf in" does not begin with a number; want a length, e.g. "10 in" or "254 mm"`},
		{DimRatio, "NaN", `"NaN" does not begin with a number; want a ratio, e.g. "0.85" or "85 %"`},
		{DimRatio, "inf", `"inf" does not begin with a number; want a ratio, e.g. "0.85" or "85 %"`},
		{DimLength, "0x10 in", `"0x10 in" is hexadecimal; want a length, e.g. "10 in" or "254 mm"`},
		{DimLength, "-0X1p3 in", `"-0X1p3 in" is hexadecimal; want a length, e.g. "10 in" or "254 mm"`},
		{DimLength, "1_000 mm", `"1_000 mm" has an underscore; want a length, e.g. "10 in" or "254 mm"`},
		{DimLength, "10,5,5 in", `"10,5,5 in" has a comma (write 10.5 or 1000); want a length, e.g. "10 in" or "254 mm"`},
		{DimPressure, "1,000,000 Pa", `"1,000,000 Pa" has a comma (write 10.5 or 1000); want a pressure, e.g. "1000 psi" or "6.9 MPa"`},
		{DimLength, "1e999 in", `"1e999 in" is too large a number; want a length, e.g. "10 in" or "254 mm"`},
		{DimPressure, "1e308 MPa", `"1e308 MPa" is too large a number; want a pressure, e.g. "1000 psi" or "6.9 MPa"`},
		{DimLength, "7/0 in", `"7/0 in" has a wrong fraction; want a length, e.g. "10 in" or "254 mm"`},
		{DimLength, "1 9/8 in", `"1 9/8 in" has a wrong fraction; want a length, e.g. "10 in" or "254 mm"`},
		{DimLength, "10 5 in", `"10 5 in" has more than one number; want a length, e.g. "10 in" or "254 mm"`},
		{DimLength, "1.2.3 in", `"1.2.3 in" has more than one number; want a length, e.g. "10 in" or "254 mm"`},
		{DimLength, "5 -3 in", `"5 -3 in" has more than one number; want a length, e.g. "10 in" or "254 mm"`},
		{DimRatio, "6:0", `"6:0" is not a ratio of two numbers; want a ratio, e.g. "0.85" or "85 %"`},
		{DimRatio, "6:x", `"6:x" is not a ratio of two numbers; want a ratio, e.g. "0.85" or "85 %"`},
		{DimTemperature, "-300 C", `"-300 C" is below absolute zero; want a temperature, e.g. "68 °F" or "20 °C"`},
		{dimCount, "1", `"1" is wanted as an unknown dimension; want a dimension of this package`},
		{DimLength, strings.Repeat("x", 70), `"` + strings.Repeat("x", 60) + `…" does not begin with a number; want a length, e.g. "10 in" or "254 mm"`},
	} {
		_, err := Parse(c.dim, c.text)
		var parseError *ParseError
		require.ErrorAs(t, err, &parseError, "%q", c.text)
		assert.Equal(t, c.want, err.Error())
		assert.Equal(t, c.text, parseError.Text)
		assert.Equal(t, c.dim, parseError.Dim)
	}
}

func TestParseAs(t *testing.T) {
	bore, err := ParseAs[Length]("7/8 in")
	require.NoError(t, err)
	assert.InDelta(t, 0.022225, float64(bore), 1e-12)

	_, err = ParseAs[Force]("7/8 in")
	assert.EqualError(t, err, `"7/8 in" is a length; want a force, e.g. "50 lbf" or "222 N"`)
	assert.True(t, errors.As(err, new(*ParseError)))
}

// What a message offers must itself be right, and its two examples must say the same.
func TestExamplesParse(t *testing.T) {
	for d := range dimCount {
		a, err := Parse(d, wanted[d].first)
		require.NoError(t, err, d)
		b, err := Parse(d, wanted[d].second)
		require.NoError(t, err, d)
		assert.InEpsilon(t, a, b, 0.005, d)

		v, half, err := ParseSpread(d, wanted[d].first+" ± "+wanted[d].half)
		require.NoError(t, err, d)
		assert.Equal(t, a, v, d)
		assert.Positive(t, half, d)
		assert.Less(t, half, v, d)
	}
}

// A spelling that two units share would be read as whichever comes first.
func TestUnitSpellingsAreUnique(t *testing.T) {
	for d := range dimCount {
		seen := map[string]string{}
		for _, u := range knownUnits[d] {
			for _, name := range append([]string{u.name}, u.aliases...) {
				folded := strings.ToLower(name)
				assert.NotContains(t, seen, folded, "%v: %s", d, name)
				seen[folded] = u.name
				assert.Equal(t, name, spell(name), "a spelling that spell never lets through")
			}
		}
	}
}
