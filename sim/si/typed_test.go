package si

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestSystemOf(t *testing.T) {
	for _, c := range []struct {
		dim  Dimension
		text string
		want System
	}{
		{DimLength, "7/8 in", US}, {DimLength, `10"`, US}, {DimLength, "10 mm", SI}, {DimLength, "ten", SI},
		{DimForce, "50 lb", US}, {DimForce, "50 N", SI}, {DimForce, "50", SI},
		{DimVacuum, "18 in Hg ± 1", US}, {DimVacuum, "66.7 kPa", SI}, {DimPressure, "1000 psi", US},
		{DimTemperature, "68 °F", US}, {DimTemperature, "20 °C", SI}, {DimVolumeFlow, "1 cfm", US},
		{DimRatio, "85 %", SI}, {Dimension(200), "1 in", SI},
	} {
		assert.Equal(t, c.want, SystemOf(c.dim, c.text), c.text)
	}
}

// Every unit that texts may carry and that is printed to who asks for US units is one
// of theirs, and none that is printed in SI is.
func TestSystemOfWhatIsPrinted(t *testing.T) {
	for d := range dimCount {
		us, si := d.Unit(US).Name, d.Unit(SI).Name
		if us == si || us == "" {
			continue
		}
		assert.Equal(t, US, SystemOf(d, "1 "+us), us)
		assert.Equal(t, SI, SystemOf(d, "1 "+si), si)
	}
}
