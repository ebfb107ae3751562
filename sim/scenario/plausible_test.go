package scenario_test

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/scenarios"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
)

// No figure that is missing stops an answer.
func TestEveryKeyHasADefault(t *testing.T) {
	typical, err := scenario.Builtin()
	require.NoError(t, err)
	for _, doc := range []string{
		"[source]\nvacuum = \"18 inHg\"\n", "title = \"x\"\n", "[booster]\nratio = 5\n", "[source]\nkind = \"engine\"\n",
		"[booster]\n", "[source]\n", "[cam]\n", "[car]\n", "[choose]\n", "[brake.front]\n", "booster = {}\n",
	} {
		s := read(t, doc)
		assert.Equal(t, typical.Config, s.Config, doc)
		assert.Empty(t, s.Warnings, doc)
		again, err := scenario.Read(strings.NewReader(s.String()), "again")
		require.NoError(t, err, doc)
		assert.Equal(t, s.Hash(), again.Hash(), doc)
	}
	assert.Equal(t, typical.Config.Source.Vacuum, read(t, "[source]\nkind = \"bench\"\n").Config.Source.Vacuum)
	assert.Equal(t, sim.BoosterNone, read(t, "[booster]\nkind = \"none\"\n").Config.Booster.Kind)
	_, _, estimated := read(t, "[cam]\nduration = 230\n").EstimatedVacuum()
	assert.True(t, estimated, "a cam alone gives an estimate of the vacuum")
}

// What is assumed can be found out, and a figure that is an estimate says how far off
// it may be; both hold the value that is taken.
func TestWhatIsAssumedHasARange(t *testing.T) {
	cars := map[string]*scenario.Scenario{
		"cam": read(t, "[cam]\nduration = 230\n"), "pump and tank": read(t, "[pump]\n[reservoir]\n"),
		"discs and drums": read(t, "[brake.front]\nkind = \"drum\"\n[brake.rear]\nkind = \"disc\"\n"),
		"tandem":          read(t, "[booster]\ndiameter = \"8 in + 9 in\"\n"), "high": read(t, "[ambient]\naltitude = \"2000 m\"\n"),
	}
	for _, name := range scenarios.Names() {
		text, err := scenarios.Read(name)
		require.NoError(t, err)
		cars[name] = read(t, string(text))
	}
	ranges := 0
	for name, s := range cars {
		for _, e := range s.Assumed(true) {
			assert.NotEmpty(t, e.HowToMeasure, "%s: %s", name, e.Path)
			if e.Range == nil {
				mine := strings.HasPrefix(e.Path, "reserve.") || strings.HasPrefix(e.Path, "choose.") || strings.HasPrefix(e.Path, "manual.")
				assert.True(t, mine || !e.Estimate, "%s: %s is an estimate and has no range", name, e.Path)
				continue
			}
			ranges++
			v, err := strconv.ParseFloat(e.TOML, 64) // a number without a unit
			if len(e.SI) == 1 {
				v, err = e.SI[0], nil
			}
			require.NoError(t, err, "%s: %s", name, e.Path)
			assert.True(t, e.Range.Around(v), "%s: %s is %g, and its range %v", name, e.Path, v, *e.Range)
			assert.Less(t, e.Range.Low, e.Range.High, "%s: %s", name, e.Path)
		}
	}
	assert.Greater(t, ranges, 1000)
}

// A value of the range is one that the scenario takes: both ends of every one.
func TestBothEndsOfARangeCanBeTaken(t *testing.T) {
	car := read(t, "[pump]\n[reservoir]\n[cam]\nduration = 230\n")
	for _, e := range car.Assumed(true) {
		if e.Range == nil {
			continue
		}
		for _, v := range []float64{e.Range.Low, e.Range.High} {
			_, err := car.WithSI(e.Path, v)
			assert.NoError(t, err, "%s = %g", e.Path, v)
		}
	}
}

// What follows from something that was set is not assumed.
func TestWhatIsSaidAnotherWayIsNotAssumed(t *testing.T) {
	s := read(t, "[ambient]\naltitude = \"2000 m\"\n[brake.front]\npiston_diameter = \"60 mm\"\n")
	for _, e := range s.Assumed(true) {
		assert.NotContains(t, []string{"ambient.pressure", "brake.front.piston_area"}, e.Path)
	}
}
