package si

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseSpread(t *testing.T) {
	const inHg = InchOfMercury
	for _, c := range []struct {
		dim         Dimension
		text        string
		value, half float64
	}{
		{DimVacuum, "11 inHg ± 1", 11 * inHg, inHg},
		{DimVacuum, "11 inHg±1 inHg", 11 * inHg, inHg},
		{DimVacuum, "11 ± 1 inHg", 11 * inHg, inHg},
		{DimVacuum, "11 inHg +/- 0.5 kPa", 11 * inHg, 500},
		{DimVacuum, "11 inHg +- 1/2", 11 * inHg, inHg / 2},
		{DimVacuum, "11 inHg", 11 * inHg, 0},
		{DimVacuum, "11 inHg ± 0", 11 * inHg, 0},
		{DimVacuum, "-1 inHg ± 1", -inHg, inHg},
		{DimTemperature, "68 °F ± 5", 293.15, 5.0 / 1.8},
		{DimTemperature, "68 ± 5 °F", 293.15, 5.0 / 1.8},
		{DimTemperature, "20 °C ± 9 °F", 293.15, 5},
		{DimTemperature, "20 °C ± 2 K", 293.15, 2},
		{DimRatio, "0.85 ± 0.05", 0.85, 0.05},
		{DimRatio, "85 % ± 5 %", 0.85, 0.05},
		{DimRatio, "9:2 ± 0.5", 4.5, 0.5},
		{DimNone, "10 ± 2", 10, 2},
	} {
		value, half, err := ParseSpread(c.dim, c.text)
		require.NoError(t, err, c.text)
		assert.InDelta(t, c.value, value, 1e-9, c.text)
		assert.InDelta(t, c.half, half, 1e-9, c.text)
	}
}

func TestParseSpreadRefuses(t *testing.T) {
	for _, c := range []struct {
		dim  Dimension
		text string
		want string
	}{
		{DimVacuum, "11 ± 1", `"11 ± 1" has no unit; want a vacuum in kPa, MPa, Pa, bar, mbar, mmHg, inHg or psi, e.g. "20 inHg"`},
		{DimVacuum, "11 inHg ± -1", `"11 inHg ± -1" has a negative half width; want a vacuum, e.g. "20 inHg ± 1 inHg"`},
		{DimVacuum, "11 inHg ± −1", `"11 inHg ± −1" has a negative half width; want a vacuum, e.g. "20 inHg ± 1 inHg"`},
		{DimVacuum, "11 inHg ±", `"11 inHg ±" has a half width that is empty; want a vacuum, e.g. "20 inHg ± 1 inHg"`},
		{DimVacuum, "± 1 inHg", `"± 1 inHg" is empty; want a vacuum, e.g. "20 inHg" or "67.7 kPa"`},
		{DimVacuum, "11 inHg ± 5 %", `"11 inHg ± 5 %" has a half width that is a ratio; want a vacuum, e.g. "20 inHg" or "67.7 kPa"`},
		{DimVacuum, "11 inHg ± 1e308 MPa", `"11 inHg ± 1e308 MPa" has a half width that is too large a number; want a vacuum, e.g. "20 inHg" or "67.7 kPa"`},
		{DimVacuum, "11 ft", `"11 ft" is a length; want a vacuum, e.g. "20 inHg" or "67.7 kPa"`},
		{DimRatio, "85 ± 5 %", `"85 ± 5 %" has % on one side only; want a ratio, e.g. "0.85 ± 0.05"`},
		{DimRatio, "85 % ± 5", `"85 % ± 5" has % on one side only; want a ratio, e.g. "0.85 ± 0.05"`},
		{dimCount, "1 ± 1", `"1 ± 1" is wanted as an unknown dimension; want a dimension of this package`},
	} {
		_, _, err := ParseSpread(c.dim, c.text)
		assert.EqualError(t, err, c.want)
	}
}
