package si

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestFormatSpan(t *testing.T) {
	assert.Equal(t, "8.5 to 13.5 inHg", FormatSpan(DimVacuum, 8.4*InchOfMercury, 13.6*InchOfMercury, US))
	assert.Equal(t, "29 to 46 kPa", FormatSpan(DimVacuum, 28.8e3, 45.7e3, SI))
	assert.Equal(t, "0.0 to 2.0 inHg", FormatSpan(DimVacuum, 0, 2*InchOfMercury, US))
	assert.Equal(t, "0.0 to 2.0 inHg", FormatSpan(DimVacuum, -1, 2*InchOfMercury, US))
	assert.Equal(t, "0.1 to 20.0 s", FormatSpan(DimTime, 0.05, 20, SI), "one unit for both")
	assert.Equal(t, "0.5 inHg", FormatSpan(DimVacuum, 0.4*InchOfMercury, 0.6*InchOfMercury, US), "both ends print alike")
	assert.Equal(t, "20.0 s", FormatSpan(DimTime, 19.99, 20.01, SI))
	for _, v := range []float64{math.NaN(), math.Inf(1)} {
		assert.Equal(t, "—", FormatSpan(DimVacuum, v, 2e3, SI))
	}
}
