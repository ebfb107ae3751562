package si

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What a workshop writes down is often no single figure.
func TestRangesAndBounds(t *testing.T) {
	t.Parallel()
	inf := math.Inf(1)
	for _, c := range []struct {
		dim       Dimension
		text      string
		low, high float64
	}{
		{DimNone, "3 to 4", 3, 4},
		{DimNone, "3 or 4", 3, 4},
		{DimNone, "3-4", 3, 4},
		{DimNone, "3 – 4", 3, 4},
		{DimNone, "more than 5", 5, inf},
		{DimNone, "8+", 8, inf},
		{DimNone, "2 or fewer", -inf, 2},
		{DimVacuum, `9"-12"`, 9 * float64(InchOfMercury), 12 * float64(InchOfMercury)},
		{DimVacuum, "9in-12in", 9 * float64(InchOfMercury), 12 * float64(InchOfMercury)},
		{DimLength, "7/8-15/16 in", 7 * float64(Inch) / 8, 15 * float64(Inch) / 16},
		{DimVacuum, "17-18 inHg", 17 * float64(InchOfMercury), 18 * float64(InchOfMercury)},
		{DimVacuum, "17 inHg to 60 kPa", 17 * float64(InchOfMercury), 60e3},
		{DimVacuum, "between 3 and 4 kPa", 3e3, 4e3},
		{DimVacuum, "< 1 kPa", -inf, 1e3},
		{DimTime, "> 30 s", 30, inf},
		{DimTime, "more than 30 s", 30, inf},
		{DimTime, "≥ 2 min", 120, inf},
		{DimLength, "1 1/8 to 1 1/2 in", 1.125 * Inch, 1.5 * Inch},
		{DimPressure, "800..900 psi", 800 * float64(PoundPerSquareInch), 900 * float64(PoundPerSquareInch)},
	} {
		low, high, err := ParseRange(c.dim, c.text)
		if assert.NoError(t, err, c.text) {
			assert.True(t, alike(c.low, low), "%s: from %v", c.text, low)
			assert.True(t, alike(c.high, high), "%s: to %v", c.text, high)
		}
	}
}

func TestWhatIsNoRange(t *testing.T) {
	t.Parallel()
	for _, text := range []string{"", "3 s", "4 to 3 s", "1-1/8 s", "> s", "more than", "3 to 4 inHg", "3 to four s"} {
		_, _, err := ParseRange(DimTime, text)
		var bad *ParseError
		require.ErrorAs(t, err, &bad, text)
		assert.NotEmpty(t, bad.Want, text)
	}
}

func alike(want, got float64) bool {
	return want == got || math.Abs(got-want) <= 1e-12*math.Abs(want)
}
