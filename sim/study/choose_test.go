package study

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// bigCam is a car with a choice of a few parts, changed by flags.
func bigCam(t testing.TB, flags ...string) *scenario.Scenario {
	t.Helper()
	s, err := scenario.Builtin(append([]string{
		`source.vacuum=10 inHg`, `source.idle_speed=1000 rpm`, `booster.diameter=9 in`, `booster.ratio=4`,
		`choose.boosters=["9 in", "8 in + 8 in", "none"]`, `choose.reservoirs=["0 L", "2 L"]`, `choose.pumps=[false, true]`,
		`choose.bores=["1 in"]`, `choose.manual_ratios=[6.5]`,
	}, flags...)...)
	require.NoError(t, err)
	return s
}

func chosen(t *testing.T, s *scenario.Scenario) *ChooseResult {
	t.Helper()
	r, err := Choose(context.Background(), s, nil)
	require.NoError(t, err)
	return r
}

// An option's figures are those that reserve and curve give for the same parts.
func TestOptionsEqualReserveAndCurve(t *testing.T) {
	s := bigCam(t, `reserve.deceleration=0.6 g`)
	r := chosen(t, s)
	require.Len(t, r.Options, 2*2*2+1)
	for _, o := range r.Options {
		car, err := o.parts.in(s)
		require.NoError(t, err)
		stops, err := Reserve(context.Background(), car, nil)
		require.NoError(t, err)
		assert.Equal(t, stops.AssistedStops, int(o.AssistedStops.Value()), o.parts.text(si.US))
		assert.Equal(t, stops.Stops[0].Needed, o.NeededPedal, o.parts.text(si.US))
		if o.ManualRatio.Exists() {
			continue
		}
		assert.Equal(t, stops.RechargeIdle, o.Recharge, o.parts.text(si.US))
		curve, err := Curve(context.Background(), car, CurveOptions{})
		require.NoError(t, err)
		assert.Equal(t, curve.Curves[0].Knee.Line, o.KneeLine, o.parts.text(si.US))
	}
}

// The options that pass come first and simplest first; every one that fails says why.
func TestOptionsAreInOrder(t *testing.T) {
	r := chosen(t, bigCam(t))
	require.NotNil(t, r.Recommended)
	assert.Same(t, &r.Options[0], r.Recommended)
	failed := false
	for i, o := range r.Options {
		assert.NotEmpty(t, o.Why)
		if !o.Passes {
			failed = true
			continue
		}
		assert.False(t, failed, "option %d passes behind one that fails", i)
		assert.GreaterOrEqual(t, o.Margin.Value(), 0.0)
		if i > 0 {
			assert.GreaterOrEqual(t, o.parts.effort, r.Options[i-1].parts.effort)
		}
	}
	assert.True(t, failed, "everything passes: the case is too easy to test with")
}

func TestLessVacuumNeverMakesMorePass(t *testing.T) {
	more := -1
	for _, v := range []string{"4 inHg", "8 inHg", "11 inHg", "14 inHg", "18 inHg"} {
		r := chosen(t, bigCam(t, "source.vacuum="+v, `choose.pumps=[false]`))
		n := 0
		for _, o := range r.Options {
			n += passing(o)
		}
		assert.GreaterOrEqual(t, n, more, "at %s", v)
		more = n
	}
	assert.Positive(t, more)
}

func TestWhatDoesNotFitIsNotRecommended(t *testing.T) {
	r := chosen(t, bigCam(t, `choose.max_diameter=8.5 in`))
	for _, o := range r.Options {
		if o.Booster == "9 in" {
			assert.False(t, o.Passes)
			assert.Equal(t, "does not fit: 228.6 mm where there is room for 215.9 mm", o.Why)
			assert.Equal(t, "does not fit: 9.00 in where there is room for 8.50 in", o.why(si.US))
			assert.False(t, o.NeededPedal.Exists())
		}
	}
	require.NotNil(t, r.Recommended)
	assert.NotEqual(t, "9 in", r.Recommended.Booster)
}

func TestTooDeepIsNotRecommended(t *testing.T) {
	r := chosen(t, bigCam(t, `choose.max_depth=140 mm`))
	for _, o := range r.Options {
		assert.Equal(t, o.Booster == "8 in + 8 in", !o.NeededPedal.Exists(), o.Booster)
		if o.Booster == "8 in + 8 in" {
			assert.Contains(t, o.Why, "deep")
		}
	}
}

// The present parts pass at the least vacuum and fail just below.
func TestLeastVacuumIsTheEdge(t *testing.T) {
	s := bigCam(t)
	r := chosen(t, s)
	require.True(t, r.LeastVacuum.Exists())
	passesAt := func(v float64) bool {
		car := *s
		car.Config = at(s.Config, si.Vacuum(v))
		m, err := margin(context.Background(), &car)
		require.NoError(t, err)
		return m.Value() >= 0
	}
	assert.True(t, passesAt(float64(r.LeastVacuum.Value())))
	assert.False(t, passesAt(float64(r.LeastVacuum.Value())-2*leastVacuumWithin))
}

// The manual pedal found needs the force that the present parts need.
func TestEqualManualNeedsTheSameForce(t *testing.T) {
	s := bigCam(t)
	r := chosen(t, s)
	require.True(t, r.EqualManual.PedalRatio.Exists())
	car := *s
	car.Manual = scenario.Manual{PedalRatio: r.EqualManual.PedalRatio.Value(), Bore: r.EqualManual.Bore.Value()}
	car.Config = Manual(&car)
	one, err := demanding(context.Background(), &car, nil, sim.EngineIdle, 1, stopping{})
	require.NoError(t, err)
	assert.InEpsilon(t, float64(r.present.RunningPedal.Value()), float64(one.Stops[0].Needed.Value()), 2e-3)
	assert.InEpsilon(t, float64(r.EqualManual.PedalTravel.Value()), float64(one.Stops[0].TravelAtNeeded.Value()), 1e-6)
}

// The least tank for two stops against the run-down formula solved for the
// volume. The dead limit is low, so that both stops lie below the knee, where the
// formula takes the state as it is held; the check valve's cracking keeps 0.3 kPa
// between tank and booster, which the formula does not know.
func TestLeastReservoirMeetsTheRunDownFormula(t *testing.T) {
	s := bigCam(t, `choose.stops_left=2`, `reservoir.volume=1 L`,
		`choose.deceleration=0.5 g`, `source.vacuum=14 inHg`, `choose.dead_limit=140 N`)
	v, err := leastReservoir(context.Background(), s)
	require.NoError(t, err)
	require.True(t, v.Exists())
	require.Greater(t, float64(v.Value()), 0.2e-3, "too small a tank to compare")

	car := *s
	car.Config.Reservoir.Volume = v.Value()
	r, err := demanding(context.Background(), &car, nil, sim.EngineOff, 2, stopping{record: true})
	require.NoError(t, err)
	require.Equal(t, 2, r.within(s.Choose.DeadLimit))
	before, after := float64(r.Stops[0].VacuumBefore.Value()), float64(r.Stops[0].VacuumAfter.Value())
	held := r.over.At(firstStopAt + s.Reserve.Press + s.Reserve.Hold)

	ambient := float64(s.Config.Ambient.Pressure)
	b := s.Config.Booster
	swept := float64(b.Area-b.TailArea) * float64(held.Hub)
	front, rear := float64(b.FrontVolume), float64(b.RearVolume)
	p, q := ambient-before, ambient-after
	air := (ambient - float64(held.WorkingVacuum)) * (rear + swept)
	// q (front + rear + tank) = p (front + tank) + air, solved for the tank.
	tank := (p*front + air - q*(front+rear)) / (q - p)
	assert.InEpsilon(t, float64(v.Value()), tank, 0.05, "simulated %.3f L, formula %.3f L", 1e3*float64(v.Value()), 1e3*tank)
	t.Logf("least tank: simulated %.3f L, run-down formula %.3f L", 1e3*float64(v.Value()), 1e3*tank)
}

func TestStoppedChoiceKeepsWhatItHas(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	r, err := Choose(ctx, bigCam(t), func(done, _ int) {
		if done == countSearches+2 { // two options, whatever came first
			cancel()
		}
	})
	require.ErrorIs(t, err, context.Canceled)
	assert.GreaterOrEqual(t, len(r.Options), 2)
	assert.Positive(t, r.Unfinished)
	assert.Contains(t, r.Words(si.US)[1], "Stopped before the end")
}

// A car that hangs on a dancing gauge is neither sure to pass nor to fail; with
// no width it is one of both.
func TestHowSureFollowsTheTolerance(t *testing.T) {
	if testing.Short() {
		t.Skip("samples many simulations")
	}
	flags := []string{`choose.boosters=["9 in"]`, `choose.reservoirs=["0 L"]`, `choose.pumps=[false]`, `choose.stops_left=1`}
	wide := chosen(t, bigCam(t, append(flags, `source.vacuum=13 inHg ± 4`, `pedal.ratio=4 ± 0.2`)...))
	require.NotNil(t, wide.Sure)
	all := wide.Sure.Chances[len(wide.Sure.Chances)-1]
	assert.Equal(t, "all of it", all.Criterion)
	assert.Greater(t, all.Chance, 0.0)
	assert.Less(t, all.Chance, 1.0)
	assert.Less(t, all.Error, 0.1)
	require.Len(t, wide.Sure.Influences, 2)
	assert.Equal(t, "source.vacuum", wide.Sure.Influences[0].Input)

	narrow := chosen(t, bigCam(t, append(flags, `source.vacuum=13 inHg ± 0`)...))
	require.NotNil(t, narrow.Sure)
	for _, c := range narrow.Sure.Chances {
		assert.Contains(t, []float64{0, 1}, c.Chance)
		assert.Zero(t, c.Error)
	}
}
