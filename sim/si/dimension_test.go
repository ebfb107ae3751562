package si

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestEachTypeHasItsDimension(t *testing.T) {
	seen := map[Dimension]bool{DimNone: true}
	for _, c := range []struct {
		quantity interface {
			fmt.Stringer
			Dimension() Dimension
		}
		dim  Dimension
		text string
	}{
		{Pressure(5e6), DimPressure, "5 MPa"},
		{Vacuum(5e4), DimVacuum, "50 kPa"},
		{Force(2), DimForce, "2 N"},
		{Length(0.2), DimLength, "200 mm"},
		{Area(0.02), DimArea, "200 cm²"},
		{Volume(0.002), DimVolume, "2 L"},
		{Mass(2), DimMass, "2 kg"},
		{Acceleration(StandardGravity / 2), DimAcceleration, "0.5 g"},
		{Speed(10), DimSpeed, "36 km/h"},
		{Temperature(300), DimTemperature, "26.85 °C"},
		{Time(2), DimTime, "2 s"},
		{Rotation(2), DimRotation, "120 rpm"},
		{Stiffness(2e3), DimStiffness, "2 N/mm"},
		{Compliance(2e-12), DimCompliance, "2 cm³/MPa"},
		{VolumeFlow(1e-3), DimVolumeFlow, "60 L/min"},
		{MassFlow(0.002), DimMassFlow, "2 g/s"},
		{Ratio(2), DimRatio, "2"},
	} {
		assert.Equal(t, c.dim, c.quantity.Dimension())
		assert.Equal(t, c.text, c.quantity.String())
		seen[c.dim] = true
	}
	assert.Len(t, seen, int(dimCount), "a dimension without a type")
}
