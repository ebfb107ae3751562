//go:build sundials

package native

import (
	"bytes"
	"context"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/scenarios"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

func config(t *testing.T, name string) sim.Config {
	text, err := scenarios.Read(name)
	require.NoError(t, err)
	s, err := scenario.Read(bytes.NewReader(text), name)
	require.NoError(t, err)
	return s.Config
}

// stops press twice and change the engine's state in between.
func stops(force si.Force) sim.Schedule {
	return sim.Schedule{
		Presses: []sim.Press{
			{At: 0.5, Pedal: force, Press: 0.3, Hold: 1, Release: 0.3},
			{At: 6.5, Pedal: force / 2, Press: 0.1, Hold: 1, Release: 0.2},
		},
		Events: []sim.Event{{At: 4, Engine: sim.EngineSnap}, {At: 5, Engine: sim.EngineOff}},
		Until:  10,
	}
}

// The C and the Go right-hand side must agree to rounding at every state along runs:
// only the order of sums may differ. Rates are compared with the largest that the
// state's own rate reaches within the run.
func TestCVODESeesTheSameEquations(t *testing.T) {
	const rounding = 1e-12
	faulty := sim.Typical()
	faulty.Faults = []sim.Fault{
		{Name: sim.FaultFrontShellLeak, Area: 0.2e-6}, {Name: sim.FaultDiaphragmTorn, Area: 0.5e-6}, {Name: sim.FaultAirSeatLeak, Area: 0.3e-6},
		{Name: sim.FaultCheckValveLeak, Area: 0.3e-6}, {Name: sim.FaultHoseLeak, Area: 0.2e-6}, {Name: sim.FaultAirInCircuit, Severity: 0.5},
	}
	cars := map[string]sim.Config{"faulty": faulty}
	tried := 0
	for _, name := range scenarios.Names() {
		cars[name] = config(t, name)
	}
	for name, c := range cars {
		if c.Booster.Kind == sim.BoosterNone || c.Pump.FreeFlow > 0 {
			continue
		}
		tried++
		t.Run(name, func(t *testing.T) {
			m, err := sim.New(c)
			require.NoError(t, err)
			run, err := m.Run(context.Background(), stops(300))
			require.NoError(t, err)
			e, err := m.Equations()
			require.NoError(t, err)
			pieces, err := run.Pieces()
			require.NoError(t, err)
			car, err := NewCar(e, pieces)
			require.NoError(t, err)
			defer car.Free()

			const n = 4000
			size := int(e.Size)
			y, ours, theirs := make([]float64, size), make([]float64, size), make([]float64, size)
			most, off := make([]float64, size), make([]float64, size)
			for i := range n {
				at := 10 * (float64(i) + 0.5) / n
				k := slices.IndexFunc(pieces, func(p sim.Piece) bool { return at <= p.End })
				run.StateAt(at, y)
				m.Rates(&pieces[k], at, y, ours)
				car.Rates(k, at, y, theirs)
				for j := range y {
					most[j] = max(most[j], math.Abs(ours[j]))
					off[j] = max(off[j], math.Abs(ours[j]-theirs[j]))
				}
				var seen [3]float64
				car.Seen(y, &seen)
				s := run.At(si.Time(at))
				assert.InEpsilon(t, float64(c.Ambient.Pressure)-float64(s.FrontVacuum), seen[0], 1e-12)
				assert.InDelta(t, float64(s.LineFront), seen[1], 1e-6)
				assert.Equal(t, float64(s.Hub), seen[2])
			}
			worst := 0.0
			for j := range y {
				if most[j] > 0 {
					worst = max(worst, off[j]/most[j])
				}
				assert.LessOrEqual(t, off[j], rounding*most[j], "state %d", j)
			}
			t.Logf("%d states, %d passages: %.1e", size, e.PassageCount, worst)
		})
	}
	assert.Greater(t, tried, 12)
}
