package study

import (
	"context"
	"encoding/json"
	"math"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

var typicalFailures = sync.OnceValues(func() (*FailuresResult, error) {
	s, err := scenario.Open("", nil)
	if err != nil {
		return nil, err
	}
	return Failures(context.Background(), s, nil)
})

func failed(t *testing.T, sets ...string) *FailuresResult {
	t.Helper()
	if len(sets) == 0 {
		r, err := typicalFailures()
		require.NoError(t, err)
		return r
	}
	r, err := Failures(context.Background(), opened(t, sets...), nil)
	require.NoError(t, err)
	return r
}

func (r *FailuresResult) of(f failure, circuits sim.Circuits) *FailureCase {
	for i := range r.Cases {
		if c := &r.Cases[i]; c.failure == f && c.Circuits == circuits {
			return c
		}
	}
	return nil
}

func TestLostCircuit(t *testing.T) {
	r := failed(t)
	stroke := float64(r.config.Master.Stroke)
	ratio := float64(r.config.Pedal.Ratio)
	for _, f := range []failure{frontLost, rearLost} {
		single, dual := r.of(f, sim.MasterSingle), r.of(f, sim.MasterDual)
		assert.InDelta(t, 0, float64(single.Deceleration.Value()), 1e-3, "one leak and nothing is left")
		assert.False(t, single.Distance.Exists())
		assert.Equal(t, verdict.BothAxles, single.Bottoms)
		for _, m := range single.Meetings {
			assert.False(t, m.Passes)
			assert.False(t, m.Needed.Exists())
		}
		assert.Greater(t, float64(dual.Deceleration.Value()), 1.0, "the other half works")
		// The lost half runs through its own stroke, which the pedal multiplies.
		assert.Greater(t, float64(dual.BottomsAt.Value()), ratio*stroke/2)
		assert.Less(t, float64(dual.BottomsAt.Value()), ratio*stroke)
	}
	front, rear := r.of(frontLost, sim.MasterDual), r.of(rearLost, sim.MasterDual)
	assert.Equal(t, verdict.FrontAxle, front.Bottoms)
	assert.Equal(t, verdict.RearAxle, rear.Bottoms)
	assert.Equal(t, answer.Of(si.Pressure(0)), front.LineFront)
	assert.Positive(t, float64(front.LineRear.Value()))
	assert.Equal(t, answer.Of(si.Pressure(0)), rear.LineRear)
	assert.Greater(t, float64(rear.Deceleration.Value()), float64(front.Deceleration.Value()), "front brakes are larger")
	sound := r.of(nothingFailed, sim.MasterDual)
	assert.Greater(t, float64(front.PedalTravel.Value()), float64(sound.PedalTravel.Value()))
	assert.Equal(t, verdict.NoAxle, sound.Bottoms)
}

// With its rear brakes gone the car stops on its front axle alone, which locks
// at a = μ g s/(1 - μ h/L): by hand from the load that moves forward.
func TestFrontAxleAloneLocksWhereItsLoadSays(t *testing.T) {
	r := failed(t)
	c := r.config.Car
	mu, k := float64(c.Adhesion), float64(c.CentreHeight/c.Wheelbase)
	want := mu * 9.80665 * float64(c.FrontShare) / (1 - mu*k)
	assert.InDelta(t, want, float64(r.of(rearLost, sim.MasterDual).Deceleration.Value()), 1e-6)
}

func TestLostVacuum(t *testing.T) {
	r := failed(t)
	sound, dry := r.of(nothingFailed, sim.MasterDual), r.of(noVacuum, sim.MasterDual)
	fresh, used := r.of(engineDead, sim.MasterDual), r.of(stopsUsed, sim.MasterDual)
	assert.Less(t, float64(dry.Deceleration.Value()), float64(sound.Deceleration.Value()))
	assert.InDelta(t, 0, float64(dry.Vacuum.Value()), 1)
	assert.Greater(t, float64(fresh.Deceleration.Value()), float64(dry.Deceleration.Value()), "the first stop still has the booster's store")
	assert.Less(t, float64(used.Vacuum.Value()), float64(fresh.Vacuum.Value()))
	assert.GreaterOrEqual(t, float64(used.Deceleration.Value()), float64(dry.Deceleration.Value())-1e-3)
	require.True(t, r.Stops.Exists())
	reserve, err := Reserve(context.Background(), opened(t), nil)
	require.NoError(t, err)
	assert.Equal(t, reserve.AssistedStops, int(r.Stops.Value()))
}

// The force that a requirement needs, pressed and held, gives the distance that
// it asks for.
func TestNeededForceMeetsTheRequirement(t *testing.T) {
	s := opened(t)
	r := failed(t)
	c := r.of(frontLost, sim.MasterDual)
	config := s.Config
	config.Front.Lost = true
	m, err := sim.New(config)
	require.NoError(t, err)
	session := m.Start()
	require.NoError(t, session.Settle(context.Background(), sim.EngineIdle))
	fork := session.Fork()
	for _, q := range c.Meetings {
		try := fork.Fork()
		try.Pedal(q.Needed.Value(), 2)
		require.NoError(t, try.Advance(context.Background(), 6))
		assert.InEpsilon(t, q.needs(), float64(try.State().Deceleration), 0.02, q.Name)
		assert.Equal(t, q.Needed.Value() <= 500, q.Passes)
	}
	require.Len(t, c.Meetings, 2)
}

func TestHeavyCarOnASmallPedalFails(t *testing.T) {
	r := failed(t, "car.mass=2400 kg", "pedal.ratio=3", "brake.rear.kind=leading-trailing")
	dry := r.of(noVacuum, sim.MasterDual)
	require.Len(t, dry.Meetings, 2)
	assert.False(t, dry.Meetings[0].Passes)
	assert.Greater(t, float64(dry.Meetings[0].Needed.Value()), 500.0)
	assert.Greater(t, float64(dry.Distance.Value()), 168.0)
	words := strings.Join(r.Words(si.US), "\n")
	assert.Contains(t, words, "not met with: ")
	assert.Contains(t, words, "hydraulic assist")
}

func TestManualPedalHasNoBoosterToLose(t *testing.T) {
	r := failed(t, "booster.kind=none", "pedal.ratio=6")
	assert.Len(t, r.Cases, 5)
	assert.False(t, r.Stops.Exists())
	assert.False(t, r.Cases[0].Vacuum.Exists())
	document, err := json.Marshal(r.Document())
	require.NoError(t, err)
	assert.Contains(t, string(document), `"assisted_stops":null`)
	assert.Contains(t, string(document), `"vacuum_before_pa":null`)
}

// A circuit that is lost in the scenario is the first case, and whole in those
// that look at something else.
func TestCircuitLostAlready(t *testing.T) {
	r := failed(t, "circuit.front.lost=true")
	sound := failed(t)
	first := r.Cases[0]
	assert.Equal(t, alreadyLost, first.failure)
	assert.InDelta(t, float64(sound.of(frontLost, sim.MasterDual).Deceleration.Value()), float64(first.Deceleration.Value()), 1e-9)
	for _, f := range []failure{nothingFailed, noVacuum, rearLost} {
		assert.InDelta(t, float64(sound.of(f, sim.MasterDual).Deceleration.Value()), float64(r.of(f, sim.MasterDual).Deceleration.Value()), 1e-9, f)
	}
	assert.Equal(t, "never firm", r.Feel[1].Kind)
}

func TestFeel(t *testing.T) {
	r := failed(t)
	find := func(part string) Feel {
		for _, f := range r.Feel {
			if strings.Contains(f.Name, part) {
				return f
			}
		}
		t.Fatal(part)
		return Feel{}
	}
	sound, air, dry, braided := r.Feel[0], find("air"), find("without vacuum"), find("braided")
	assert.Equal(t, "soft", air.Kind)
	assert.InEpsilon(t, float64(sound.Force.Value()), float64(air.Force.Value()), 0.03, "same force")
	assert.Equal(t, "hard", dry.Kind)
	assert.Equal(t, "firmer", braided.Kind)

	// By hand: what the fluid takes more, over the piston's area, times the pedal
	// ratio. 2 cm³ of air shrink to 2·p₀/(p₀+p); the hoses take 0.18 cm³/MPa.
	ratio := float64(r.config.Pedal.Ratio)
	bore := float64(r.config.Master.Bore)
	perVolume := ratio / (math.Pi / 4 * bore * bore)
	p, p0 := float64(firmLine), float64(r.config.Ambient.Pressure)
	assert.InEpsilon(t, 2e-6*p/(p+p0)*perVolume, float64(air.Travel.Value()-sound.Travel.Value()), 0.05)
	assert.InEpsilon(t, 0.18e-12*p*perVolume, float64(sound.Travel.Value()-braided.Travel.Value()), 0.05)
	assert.InEpsilon(t, 0.18e-12*perVolume, float64(sound.Rate.Value()-braided.Rate.Value()), 0.1)
}

func TestFeelOfTheFaultsThatAreThere(t *testing.T) {
	s := opened(t)
	s.Config.Faults = []sim.Fault{{Name: sim.FaultAirInCircuit, Severity: 0.5}}
	r, err := Failures(context.Background(), s, nil)
	require.NoError(t, err)
	assert.Equal(t, "as it is, with its faults", r.Feel[1].Name)
	assert.Equal(t, "soft", r.Feel[1].Kind)
	assert.Equal(t, "sound", r.Feel[0].Kind)
}

func TestFailuresStopsWhenTold(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := Failures(ctx, opened(t), nil)
	require.ErrorIs(t, err, context.Canceled)
}
