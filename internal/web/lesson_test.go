package web

import (
	"context"
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
	"kneepoint/sim/study"
)

// onBench takes a car through the pupils' bench and returns what is read, each in
// differences that a pupil notices.
func onBench(t *testing.T, s *scenario.Scenario) map[string]float64 {
	t.Helper()
	ctx := context.Background()
	c, err := newCars(ctx, s)
	require.NoError(t, err)
	out, foot := map[string]float64{}, si.Force(0)
	for _, step := range bench {
		for _, m := range step.Moves {
			for left := m.Takes; left > 1e-9; left -= 0.1 {
				dt := min(0.1, left)
				foot += (m.To - foot) * si.Force(dt/left)
				require.NoError(t, c.step(ctx, stepRequest{Dt: dt, Pedal: foot, Engine: step.Engine}))
			}
		}
		text, err := json.Marshal(c.frame())
		require.NoError(t, err)
		var f frameSeen
		require.NoError(t, json.Unmarshal(text, &f))
		for _, r := range step.Reads {
			out[step.When+": "+r.Name] = f.number(r.Key) / r.Notice
		}
	}
	return out
}

// Whatever number the teacher says, the fault that it hides can be found: it reads
// otherwise than a sound car, and than every other fault that could have been drawn.
func TestHiddenFaultsAreToldApart(t *testing.T) {
	t.Parallel()
	s := starterScenario(t, "stock-ten-inch")
	names := []string{none}
	for _, f := range findable {
		names = append(names, string(f))
	}
	read := map[string]map[string]float64{}
	for _, name := range names {
		ill, err := chooseFault(s, changeRequest{Control: "fault", Value: name})
		require.NoError(t, err)
		read[name] = onBench(t, ill)
	}
	for i, a := range names {
		for _, b := range names[i+1:] {
			most := 0.0
			for key, v := range read[a] {
				most = max(most, math.Abs(v-read[b][key]))
			}
			assert.GreaterOrEqual(t, most, 2., "%s and %s read alike", a, b)
		}
	}
}

// Help ends on a straight line over the vacuum, so that the page finds the knee of the
// present moment between a few of them.
func TestKneesLieOnALine(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"stock-ten-inch", "big-cam-tandem", "mountain"} {
		s := starterScenario(t, name)
		c := newClient(t, s)
		path, _ := c.create("{}")
		var knees []struct {
			Vacuum float64 `json:"vacuum_pa"`
			Pedal  float64 `json:"pedal_n"`
			Line   float64 `json:"line_pa"`
		}
		c.get(path+"/knees", 200, &knees)
		require.GreaterOrEqual(t, len(knees), 2, name)
		last := len(knees) - 1
		middle := (knees[0].Vacuum + 2*knees[last].Vacuum) / 3
		want := kneeAt(t, s, si.Vacuum(middle))
		assert.InEpsilon(t, want.Pedal, (knees[0].Pedal+2*knees[last].Pedal)/3, 0.01, "%s: pedal", name)
		assert.InEpsilon(t, want.Line, (knees[0].Line+2*knees[last].Line)/3, 0.01, "%s: line", name)
	}
	c := newClient(t, starterScenario(t, "manual-pedal"))
	path, _ := c.create("{}")
	var knees []any
	c.get(path+"/knees", 200, &knees)
	assert.Empty(t, knees)
}

func kneeAt(t *testing.T, s *scenario.Scenario, v si.Vacuum) (knee struct{ Pedal, Line float64 }) {
	t.Helper()
	r, err := study.Curve(context.Background(), s, study.CurveOptions{Vacua: []si.Vacuum{v}})
	require.NoError(t, err)
	knee.Pedal, knee.Line = float64(r.Curves[0].Knee.Pedal.Value()), float64(r.Curves[0].Knee.Line.Value())
	return knee
}
