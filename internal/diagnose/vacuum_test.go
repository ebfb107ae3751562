package diagnose

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/verdict"
	"kneepoint/scenarios"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
	"kneepoint/sim/study"
)

// The vacuum that a diagnosis calls needed is the one that curve finds, and a car is short
// of it where curve's hard stop is not easy.
func TestNeededVacuumIsThatOfCurve(t *testing.T) {
	t.Parallel()
	const (
		within = 700.0 // Pa: both searches, and what the check valve keeps back, which only a source has to give
		near   = 0.03  // share of the pedal force that ShortBy, half of what a gauge shows, is worth
	)
	compared := 0
	for _, name := range scenarios.Names() {
		s := garage(t, name)
		s.Config.Faults = nil
		if _, _, guessed := s.EstimatedVacuum(); guessed || s.Config.Booster.Kind == sim.BoosterNone {
			continue // curve answers for the band of an estimate
		}
		l := &Library{config: s.Config, reserve: s.Reserve}
		v, err := l.lookAtVacuum(t.Context(), s, nil)
		require.NoError(t, err)
		r, err := study.Curve(t.Context(), s, study.CurveOptions{})
		require.NoError(t, err)
		f := r.Curves[0]
		assert.InDelta(t, float64(f.Vacuum.Value()), float64(v.Has.Value()), 1, "%s has", name)
		if r.EasyVacuum.Exists() {
			assert.InDelta(t, float64(r.EasyVacuum.Value()), float64(v.Needed.Value()), within, "%s needs", name)
			compared++
		}
		if !v.Needed.Exists() {
			assert.False(t, r.EasyVacuum.Exists(), "%s: no vacuum is enough", name)
			continue
		}
		switch pedal := float64(f.HardStopPedal.Value()); {
		case pedal > float64(verdict.EasyPedal)*(1+near):
			assert.True(t, v.Short, "%s: %.0f N", name, pedal)
		case pedal <= float64(verdict.EasyPedal):
			assert.False(t, v.Short, "%s: %.0f N", name, pedal)
		}
	}
	assert.Greater(t, compared, 5)
}

// shortCar is a car that would be sound but for its vacuum: a large camshaft and a 9 in booster.
func shortCar(t testing.TB) *Library {
	t.Helper()
	s, err := scenario.Builtin("source.vacuum=10 inHg", "booster.diameter=9 in")
	require.NoError(t, err)
	l, err := NewLibrary(t.Context(), s, nil, nil)
	require.NoError(t, err)
	require.True(t, l.vacuum.Short)
	return l
}

// Whatever is read on a car that is short of vacuum as it is written, there is an answer
// whose chances add up to 1.
func TestCarShortOfVacuumIsAnswered(t *testing.T) {
	if testing.Short() {
		t.Skip("it simulates many cars")
	}
	t.Parallel()
	l := shortCar(t).Under(scenario.ComplaintLow)
	sound := exact(t, l, nil, allTests(l)...)
	addsUp := func(readings []scenario.Reading) {
		d := weighed(t, l, readings)
		sum := d.Unexplained
		for _, s := range d.Suspects {
			sum += s.Probability
		}
		assert.InDelta(t, 1, sum, 1e-9, "%+v", readings)
	}
	addsUp([]scenario.Reading{
		{Test: scenario.PumpUp}, {Test: scenario.PedalFeel}, {Test: scenario.WheelDrags, Axle: verdict.FrontAxle, Answer: true},
		{Test: scenario.ManifoldVacuum, Value: float64(10 * si.InchOfMercury)},
	})
	for i := 0; i < len(sound); i += 3 {
		// The other answer, or twice the figure, beside one that is as on the sound car.
		first, second := sound[i], sound[(i+7)%len(sound)]
		first.Answer, first.Count, first.Value, first.Travel = !first.Answer, 2*first.Count, 2*first.Value, 2*first.Travel
		addsUp([]scenario.Reading{first, second})
	}
}

// A pump leaves the booster at any vacuum between its switches: what a gauge shows there
// is a sound car's.
func TestPumpedVacuumWithinTheSwitchesIsSound(t *testing.T) {
	if testing.Short() {
		t.Skip("it simulates many cars")
	}
	t.Parallel()
	s := garage(t, "big-cam-pump")
	s.Config.Pump.On, s.Config.Pump.Off = 20*si.InchOfMercury, 24*si.InchOfMercury // and enough of it
	l, err := NewLibrary(t.Context(), s, nil, nil)
	require.NoError(t, err)
	require.False(t, l.vacuum.Short)
	for share := 0.0; share <= 1; share += 0.25 {
		at := s.Config.Pump.On + si.Vacuum(share)*(s.Config.Pump.Off-s.Config.Pump.On)
		d := weighed(t, l, []scenario.Reading{{Test: scenario.BoosterVacuum, Value: float64(at)}})
		assert.Less(t, d.Unexplained, priorUnexplained, "%.0f Pa", float64(at))
		assert.Equal(t, NoFault, d.Suspects[0].Fault)
	}
}
