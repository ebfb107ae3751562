package scenario

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"kneepoint/sim/si"
)

func TestAWarningIsGivenOnce(t *testing.T) {
	a, b := Problem{Line: 1, Key: "pedal.ratio", Want: "less"}, Problem{Line: 1, Key: "pedal.ratio", Want: "more"}
	assert.Equal(t, []Problem{a, b}, once([]Problem{a, b, a, a}))
}

// A quantity is written in the fewest digits that read as exactly the same number, in a
// unit that people use.
func TestQuantityTextIsShort(t *testing.T) {
	parsed := func(dim si.Dimension, text string) float64 {
		v, err := si.Parse(dim, text)
		assert.NoError(t, err)
		return v
	}
	for _, c := range []struct {
		dim  si.Dimension
		text string
	}{
		{si.DimArea, "466.18 cm2"}, {si.DimArea, "0.12345 mm2"}, {si.DimVolume, "2.0995 L"}, {si.DimVacuum, "18.375 inHg"},
		{si.DimForce, "100 lbf"}, {si.DimTemperature, "20.125 C"},
	} {
		v := parsed(c.dim, c.text)
		text := quantityText(c.dim, v)
		assert.Equal(t, v, parsed(c.dim, text), text)
		assert.LessOrEqual(t, len(text), len(c.text), text)
	}
	third := 0.1 / 3
	assert.Equal(t, third, parsed(si.DimArea, quantityText(si.DimArea, third)), "what is not short is still exact")
}
