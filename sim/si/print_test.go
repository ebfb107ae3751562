package si

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What is needed at least is rounded up, and stays as it is where it needs no rounding.
func TestFormatUp(t *testing.T) {
	for _, c := range []struct {
		inHg float64
		want string
	}{{18.01, "18.5 inHg"}, {18.24, "18.5 inHg"}, {18.49, "18.5 inHg"}, {18, "18.0 inHg"}, {18.5, "18.5 inHg"}} {
		assert.Equal(t, c.want, FormatUp(DimVacuum, c.inHg*InchOfMercury, US), "%g", c.inHg)
	}
}
