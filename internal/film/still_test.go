package film

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
	"kneepoint/sim/study"
)

// A still is one element that asks for nothing outside itself, the same each time.
func TestStillStandsAlone(t *testing.T) {
	for _, name := range []string{"stock-ten-inch", "big-cam-tandem", "big-cam-pump", "drums-all-round"} {
		text, err := Still(t.Context(), open(t, name), 100, si.US, `a "booster" & <more>`, "still")
		require.NoError(t, err, name)
		again, err := Still(t.Context(), open(t, name), 100, si.US, `a "booster" & <more>`, "still")
		require.NoError(t, err, name)
		assert.Equal(t, text, again, name)
		elements := 0
		for d := xml.NewDecoder(strings.NewReader(text)); ; elements++ {
			token, err := d.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			require.NoError(t, err, name)
			start, ok := token.(xml.StartElement)
			if !ok {
				continue
			}
			assert.Contains(t, []string{"svg", "g", "path", "rect", "circle", "text", "clipPath"}, start.Name.Local)
			for _, a := range start.Attr {
				assert.NotContains(t, a.Value, "var(")
				assert.NotEqual(t, "style", a.Name.Local)
			}
		}
		assert.Greater(t, elements, 100, name)
	}
}

// What a still says of a stop is what the study says of it.
func TestStillShowsTheStop(t *testing.T) {
	s := open(t, "stock-ten-inch")
	text, err := Still(t.Context(), s, 100, si.SI, "", "still")
	require.NoError(t, err)
	idling, err := s.Edit([]scenario.Setting{{Path: "reserve.engine", Value: string(sim.EngineIdle)}, scenario.SettingOf("reserve.pedal", si.Force(100))})
	require.NoError(t, err)
	r, err := study.Reserve(t.Context(), idling, nil)
	require.NoError(t, err)
	for _, want := range []string{
		si.Format(si.DimForce, 100, si.SI),
		si.Format(si.DimPressure, float64(r.Stops[0].Line), si.SI),
		si.Format(si.DimVacuum, float64(r.Stops[0].VacuumBefore.Value()), si.SI),
	} {
		// The page does not break a quantity from its unit.
		assert.True(t, strings.Contains(text, fmt.Sprintf(">%s<", strings.ReplaceAll(want, " ", "\u00a0"))), want)
	}
}
