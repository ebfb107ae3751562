package si

import (
	"math"
	"strings"
	"testing"
)

// FuzzParse holds that no text makes Parse or ParseSpread panic, that what they accept is
// finite, and that what they refuse is refused in one line.
func FuzzParse(f *testing.F) {
	for d := range dimCount {
		f.Add(uint8(d), wanted[d].first)
		f.Add(uint8(d), wanted[d].first+" ± "+wanted[d].half)
	}
	for _, text := range []string{
		"", "1⅛ in", "1e308 MPa", "-459.67 °F", "6:1", "6:1e-320", "0:1e-310", "NaN", "0x1p3", "1/0 in", "5 mPa",
		"11 inHg +/- 0.5 kPa", "± ±", "1e-320 in", "\xff in", "9 \u212a", "1 in\n", "1-1/8 in",
		strings.Repeat("9", 400) + " m", strings.Repeat("9", 400) + "/" + strings.Repeat("9", 400) + " m",
	} {
		f.Add(uint8(DimLength), text)
		f.Add(uint8(DimRatio), text)
		f.Add(uint8(DimPressure), text)
	}
	f.Fuzz(func(t *testing.T, dimension uint8, text string) {
		d := Dimension(dimension)
		oneLine := func(err error) {
			if strings.ContainsAny(err.Error(), "\n\r") {
				t.Errorf("%q as %v: message of several lines: %v", text, d, err)
			}
		}
		if v, err := Parse(d, text); err != nil {
			oneLine(err)
		} else if math.IsNaN(v) || math.IsInf(v, 0) {
			t.Errorf("%q as %v: accepted as %v", text, d, v)
		}
		v, half, err := ParseSpread(d, text)
		if err != nil {
			oneLine(err)
			return
		}
		if math.IsNaN(v) || math.IsInf(v, 0) || math.IsNaN(half) || math.IsInf(half, 0) || half < 0 {
			t.Errorf("%q as %v: accepted as %v ± %v", text, d, v, half)
		}
	})
}
