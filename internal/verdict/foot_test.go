package verdict

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"kneepoint/sim/si"
)

// A force is never printed as the limit that it is beyond.
func TestForceIsPlainBesideItsWord(t *testing.T) {
	for _, c := range []struct {
		lbf  float64
		want string
	}{{59.8, "60 lbf"}, {60, "60 lbf"}, {60.3, "60.3 lbf"}, {61, "61 lbf"}, {99.7, "100 lbf"}, {100.4, "100.4 lbf"}} {
		assert.Equal(t, c.want, Force(si.Force(c.lbf*si.PoundForce), si.US))
	}
}
