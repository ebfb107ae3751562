package si

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		dim    Dimension
		v      float64
		si, us string
	}{
		{DimVacuum, 62600, "63 kPa", "18.5 inHg"},
		{DimVacuum, 0, "0 kPa", "0.0 inHg"},
		{DimVacuum, -10, "0 kPa", "0.0 inHg"},
		{DimPressure, 6e6, "6.0 MPa", "870 psi"},
		{DimPressure, 5.56e6, "5.6 MPa", "810 psi"},
		{DimForce, 222.41, "220 N", "50 lbf"},
		{DimForce, -3, "-5 N", "-1 lbf"},
		{DimLength, 0.0381, "38.1 mm", "1.50 in"},
		{DimLength, 1609.344, "1609 m", "5280 ft"},
		{DimLength, 0, "0.0 mm", "0.00 in"},
		{DimArea, 0.0466, "466.0 cm²", "72.2 in²"},
		{DimArea, 18e-6, "18.0 mm²", "0.028 in²"},
		{DimArea, 0.05e-6, "0.050 mm²", "0.00008 in²"},
		{DimVolume, 3.6e-3, "3.60 L", "220 in³"},
		{DimVolume, 0.6e-6, "0.6 cm³", "0.04 in³"},
		{DimVolume, 99e-6, "99.0 cm³", "6.04 in³"},
		{DimMass, 1500, "1500 kg", "3307 lb"},
		{DimAcceleration, 4.903325, "0.50 g", "0.50 g"},
		{DimSpeed, 25, "90 km/h", "56 mph"},
		{DimTemperature, 293.15, "20 °C", "68 °F"},
		{DimTemperature, 273.15, "0 °C", "32 °F"},
		{DimTime, 2.04, "2.0 s", "2.0 s"},
		{DimTime, 0.0123, "12 ms", "12 ms"},
		{DimTime, 0, "0.0 s", "0.0 s"},
		{DimRotation, 15, "900 rpm", "900 rpm"},
		{DimStiffness, 2500, "2.5 N/mm", "14 lbf/in"},
		{DimCompliance, 0.24e-12, "0.24 cm³/MPa", "0.00010 in³/psi"},
		{DimVolumeFlow, 25e-3 / 60, "25.0 L/min", "0.88 cfm"},
		{DimMassFlow, 0.01, "10.00 g/s", "1.323 lb/min"},
		{DimRatio, 4.999, "5.00", "5.00"},
		{DimNone, 12, "12", "12"},
		{DimVacuum, math.NaN(), "—", "—"},
		{DimTemperature, math.NaN(), "—", "—"},
		{DimForce, math.Inf(-1), "—", "—"},
	} {
		assert.Equal(t, c.si, Format(c.dim, c.v, SI), "%v %g", c.dim, c.v)
		assert.Equal(t, c.us, Format(c.dim, c.v, US), "%v %g", c.dim, c.v)
	}
}

func TestFormatFine(t *testing.T) {
	for _, c := range []struct {
		dim    Dimension
		v      float64
		si, us string
	}{
		{DimVacuum, 62600, "62.6 kPa", "18.49 inHg"},
		{DimPressure, 101325, "101.3 kPa", "14.7 psi"},
		{DimPressure, 5.5e6, "5.5 MPa", "797.7 psi"},
		{DimForce, 123456, "123500 N", "27750 lbf"},
		{DimLength, 0.028575, "28.57 mm", "1.125 in"},
		{DimArea, 0.05e-6, "0.05 mm²", "0.0000775 in²"},
		{DimCompliance, 0.24e-12, "0.24 cm³/MPa", "0.000101 in³/psi"},
		{DimVolume, 1e-15, "1e-09 cm³", "6.102e-11 in³"},
		{DimRatio, 1.0 / 3, "0.3333", "0.3333"},
		{DimRatio, math.Copysign(0, -1), "0", "0"},
		{DimPressure, math.NaN(), "—", "—"},
		{DimPressure, math.Inf(1), "—", "—"},
	} {
		assert.Equal(t, c.si, FormatFine(c.dim, c.v, SI), "%v %g", c.dim, c.v)
		assert.Equal(t, c.us, FormatFine(c.dim, c.v, US), "%v %g", c.dim, c.v)
	}
}

func TestFormatLow(t *testing.T) {
	for psi, want := range map[Pressure][2]string{
		2: {"2 psi", "14 kPa"}, 2.5: {"2.5 psi", "17 kPa"}, 10: {"10 psi", "69 kPa"}, 0.04: {"0 psi", "0 kPa"}, 12.34: {"12.3 psi", "85 kPa"},
	} {
		assert.Equal(t, want[0], FormatLow(psi*PoundPerSquareInch, US))
		assert.Equal(t, want[1], FormatLow(psi*PoundPerSquareInch, SI))
	}
	assert.Equal(t, "—", FormatLow(Pressure(math.NaN()), US))
}

func TestFormatGas(t *testing.T) {
	assert.Equal(t, "101 kPa", FormatGas(StandardAtmosphere, SI))
	assert.Equal(t, "14.7 psi", FormatGas(StandardAtmosphere, US))
	assert.Equal(t, "—", FormatGas(Pressure(math.NaN()), US))
}

func TestString(t *testing.T) {
	assert.Equal(t, "66.7 kPa", Vacuum(66700).String())
	assert.Equal(t, "101.3 kPa", Pressure(StandardAtmosphere).String())
	assert.Equal(t, "254 mm", Length(10*Inch).String())
	assert.Equal(t, "20 °C", Temperature(293.15).String())
	assert.Equal(t, "an area", DimArea.String())
	assert.Equal(t, "an unknown dimension", dimCount.String())
}

func drawSystem(t *rapid.T) System {
	return rapid.SampledFrom([]System{SI, US}).Draw(t, "system")
}

// drawValue draws a value over many powers of ten, since the unit printed depends on it.
func drawValue(t *rapid.T, d Dimension) float64 {
	if d == DimTemperature {
		return rapid.Float64Range(1, 2000).Draw(t, "value") // rounding must not lead below 0 K
	}
	usual := d.Unit(SI).Scale
	decade := rapid.Float64Range(-6, 6).Draw(t, "decade")
	sign := rapid.SampledFrom([]float64{-1, 1}).Draw(t, "sign")
	return sign * usual * math.Pow(10, decade)
}

func TestParseReadsFormat(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := Dimension(rapid.IntRange(int(DimPressure), int(dimCount)-1).Draw(t, "dimension"))
		sys := drawSystem(t)
		v := drawValue(t, d)
		text := Format(d, v, sys)
		got, err := Parse(d, text)
		require.NoError(t, err, text)
		u := d.ladder(sys).pick(v)
		assert.InDelta(t, v, got, u.Step*u.Scale/2+1e-9*math.Abs(v), text)
	})
}

func TestParseReadsFormatFine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := Dimension(rapid.IntRange(0, int(dimCount)-1).Draw(t, "dimension"))
		sys := drawSystem(t)
		v := drawValue(t, d)
		text := FormatFine(d, v, sys)
		got, err := Parse(d, text)
		require.NoError(t, err, text)
		u := d.ladder(sys).pick(v)
		assert.InDelta(t, u.Of(v), u.Of(got), 5.001e-4*math.Abs(u.Of(v))+1e-9, text)
	})
}

// The name that is printed must be the unit that is meant.
func TestUnitNamesParse(t *testing.T) {
	for d := DimPressure; d < dimCount; d++ {
		for _, sys := range []System{SI, US} {
			for _, r := range d.ladder(sys).rungs {
				got, err := Parse(d, "3 "+r.unit.Name)
				require.NoError(t, err, "%v %v", d, sys)
				assert.InEpsilon(t, r.unit.SI(3), got, 1e-14, r.unit.Name)
				assert.InDelta(t, 3, r.unit.Of(got), 1e-9, r.unit.Name)
			}
			l := d.ladder(sys)
			assert.Zero(t, l.rungs[len(l.rungs)-1].from, "%v %v: no unit for the smallest values", d, sys)
		}
	}
}

func TestConvert(t *testing.T) {
	for _, c := range []struct {
		dim   Dimension
		v, us float64
		siKey string
		usKey string
		usual string
	}{
		{DimPressure, 6.894757e6, 1000, "_pa", "_psi", "MPa"},
		{DimVacuum, 67727.77, 20, "_pa", "_inhg", "kPa"},
		{DimForce, 222.4111, 50, "_n", "_lbf", "N"},
		{DimLength, 0.254, 10, "_m", "_in", "mm"},
		{DimArea, 6.4516e-4, 1, "_m2", "_in2", "cm²"},
		{DimVolume, 1.638706e-3, 100, "_m3", "_in3", "L"},
		{DimMass, 45.35924, 100, "_kg", "_lb", "kg"},
		{DimAcceleration, 9.80665, 32.17405, "_mps2", "_ftps2", "g"},
		{DimSpeed, 26.8224, 60, "_mps", "_mph", "km/h"},
		{DimTemperature, 293.15, 68, "_k", "_f", "°C"},
		{DimTime, 3, 3, "_s", "_s", "s"},
		{DimRotation, 15, 900, "_rps", "_rpm", "rpm"},
		{DimStiffness, 1751.268, 10, "_npm", "_lbfpin", "N/mm"},
		{DimCompliance, 1e-12, 1e-12 / 1.638706e-5 * 6894.757, "_m3ppa", "_in3ppsi", "cm³/MPa"},
		{DimVolumeFlow, 4.719474e-4, 1, "_m3ps", "_cfm", "L/min"},
		{DimMassFlow, 7.559873e-3, 1, "_kgps", "_lbpmin", "g/s"},
		{DimRatio, 5, 5, "", "", ""},
		{DimNone, 5, 5, "", "", ""},
	} {
		assert.Equal(t, c.v, Convert(c.dim, c.v, SI), "%v: SI values go out as they are", c.dim)
		assert.InEpsilon(t, c.us, Convert(c.dim, c.v, US), 1e-6, c.dim)
		assert.Equal(t, c.siKey, c.dim.Unit(SI).KeySuffix, c.dim)
		assert.Equal(t, c.usKey, c.dim.Unit(US).KeySuffix, c.dim)
		assert.Equal(t, c.usual, c.dim.Unit(SI).Name, c.dim)
	}
	assert.True(t, math.IsNaN(Convert(DimForce, math.NaN(), US)))
}

// What is needed at least is rounded up, and stays as it is where it needs no rounding.
func TestFormatUp(t *testing.T) {
	for _, c := range []struct {
		inHg float64
		want string
	}{{18.01, "18.5 inHg"}, {18.24, "18.5 inHg"}, {18.49, "18.5 inHg"}, {18, "18.0 inHg"}, {18.5, "18.5 inHg"}} {
		assert.Equal(t, c.want, FormatUp(DimVacuum, c.inHg*InchOfMercury, US), "%g", c.inHg)
	}
}
