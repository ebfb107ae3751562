package sim_test

import (
	"context"
	"math"
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

func bench(vacuum si.Vacuum) sim.Config {
	c := sim.Typical()
	c.Source.Kind = sim.SourceBench
	c.Source.Vacuum = vacuum
	return c
}

func run(t *testing.T, c sim.Config, s sim.Schedule, opts ...sim.Option) *sim.Trajectory {
	t.Helper()
	m, err := sim.New(c, opts...)
	require.NoError(t, err)
	out, err := m.Run(context.Background(), s)
	require.NoError(t, err)
	return out
}

func settled(t *testing.T, c sim.Config, opts ...sim.Option) *sim.Session {
	t.Helper()
	m, err := sim.New(c, opts...)
	require.NoError(t, err)
	s := m.Start()
	require.NoError(t, s.Settle(context.Background(), sim.EngineIdle))
	return s
}

func advance(t *testing.T, s *sim.Session, d si.Time) {
	t.Helper()
	require.NoError(t, s.Advance(context.Background(), d))
}

// stops are a few with everything in them.
func stops() sim.Schedule {
	return sim.Schedule{
		Presses: []sim.Press{
			{At: 1, Pedal: 80, Press: 0.3, Hold: 1, Release: 0.3},
			{At: 4, Pedal: 500, Deceleration: 4, Press: 0.3, Hold: 2, Release: 0.3},
			{At: 8, Pedal: 400, Press: 0.05, Hold: 1, Release: 0.1},
		},
		Events: []sim.Event{{At: 3, Engine: sim.EngineOff}},
		Until:  11,
	}
}

// same compares every field to the bit, with NaN like NaN.
func same(a, b sim.State) bool {
	x, y := reflect.ValueOf(a), reflect.ValueOf(b)
	for i := range x.NumField() {
		a, b := x.Field(i), y.Field(i)
		if a.CanFloat() && math.Float64bits(a.Float()) != math.Float64bits(b.Float()) || !a.CanFloat() && !a.Equal(b) {
			return false
		}
	}
	return true
}

func TestRunsAreIdenticalToTheBit(t *testing.T) {
	c := sim.Typical()
	first, again := run(t, c, stops()), run(t, c, stops())
	a, b := first.Every(0.01), again.Every(0.01)
	require.Len(t, b, len(a))
	for i := range a {
		require.True(t, same(a[i], b[i]), "at %g s", float64(a[i].Time))
	}
}

// A model that has run before gives the same: nothing of a run stays in it but
// the size of its last step, which moves the result within the tolerance.
func TestModelRunsTwice(t *testing.T) {
	m, err := sim.New(sim.Typical())
	require.NoError(t, err)
	first, err := m.Run(context.Background(), stops())
	require.NoError(t, err)
	a := first.Every(0.05)
	again, err := m.Run(context.Background(), stops())
	require.NoError(t, err)
	closeStates(t, a, again.Every(0.05), 50, 20e3)
	// The first trajectory is still what it was.
	for i, x := range first.Every(0.05) {
		require.True(t, same(a[i], x))
	}
}

func closeStates(t *testing.T, a, b []sim.State, vacuum, line float64) {
	t.Helper()
	require.Len(t, b, len(a))
	for i := range a {
		require.InDelta(t, float64(a[i].FrontVacuum), float64(b[i].FrontVacuum), vacuum, "at %g s", float64(a[i].Time))
		require.InDelta(t, float64(a[i].LineFront), float64(b[i].LineFront), line, "at %g s", float64(a[i].Time))
	}
}

func TestForkLeavesItsParentAlone(t *testing.T) {
	through := func(disturb bool) sim.State {
		s := settled(t, sim.Typical())
		s.Plan(sim.Press{At: 1, Pedal: 200, Press: 0.3, Hold: 2, Release: 0.3})
		advance(t, s, 1.2)
		fork := s.Fork()
		if disturb {
			fork.Engine(sim.EngineOff)
			fork.Pedal(900, 0.02)
			advance(t, fork, 3)
		}
		advance(t, s, 1.8)
		return s.State()
	}
	alone, disturbed := through(false), through(true)
	assert.InDelta(t, float64(alone.FrontVacuum), float64(disturbed.FrontVacuum), 10)
	assert.InDelta(t, float64(alone.LineFront), float64(disturbed.LineFront), 5e3)
	assert.Equal(t, alone.Pedal, disturbed.Pedal)
	assert.Equal(t, si.Force(200), disturbed.Pedal)
}

func TestForkGoesOnLikeItsParent(t *testing.T) {
	s := settled(t, sim.Typical())
	s.Plan(sim.Press{At: 0.5, Deceleration: 5, Pedal: 500, Press: 0.3, Hold: 2, Release: 0.3})
	advance(t, s, 1)
	fork := s.Fork()
	advance(t, fork, 3)
	advance(t, s, 3)
	assert.InDelta(t, float64(s.State().FrontVacuum), float64(fork.State().FrontVacuum), 10)
	assert.InDelta(t, float64(s.State().LineFront), float64(fork.State().LineFront), 5e3)
}

func TestSmallPiecesAgreeWithOneAdvance(t *testing.T) {
	press := sim.Press{At: 0.5, Pedal: 250, Press: 0.3, Hold: 1, Release: 0.3}
	whole, pieces := settled(t, sim.Typical()), settled(t, sim.Typical())
	whole.Plan(press)
	pieces.Plan(press)
	for range 300 {
		advance(t, pieces, 0.01)
	}
	advance(t, whole, 3)
	assert.InDelta(t, 3, float64(pieces.Time()), 1e-9)
	assert.InDelta(t, float64(whole.State().FrontVacuum), float64(pieces.State().FrontVacuum), 20)
	assert.InDelta(t, float64(whole.State().WorkingVacuum), float64(pieces.State().WorkingVacuum), 20)
	assert.InDelta(t, float64(whole.State().LineFront), float64(pieces.State().LineFront), 5e3)
}

func TestToleranceSetsTheError(t *testing.T) {
	exact := run(t, sim.Typical(), stops(), sim.Tolerance(1e-8)).Every(0.05)
	closeStates(t, exact, run(t, sim.Typical(), stops()).Every(0.05), 30, 15e3)
	closeStates(t, exact, run(t, sim.Typical(), stops(), sim.Tolerance(1e-6)).Every(0.05), 1, 500)
}

// Sampling has no jumps, not even where the inputs turn, and the schedule's
// corners are met exactly.
func TestTrajectoryIsContinuous(t *testing.T) {
	s := stops()
	out := run(t, sim.Typical(), s)
	assert.Equal(t, si.Time(0), out.From())
	assert.Equal(t, s.Until, out.Until())
	const d = 1e-7
	for _, at := range []si.Time{1, 1.3, 2.3, 2.6, 3, 3.5, 4, 6.3, 6.6, 8, 8.05, 9.05, 9.15, 10.999} {
		a, b := out.At(at-d), out.At(at+d)
		assert.InDelta(t, float64(a.Pedal), float64(b.Pedal), 0.01, "pedal at %g s", float64(at))
		assert.InDelta(t, float64(a.FrontVacuum), float64(b.FrontVacuum), 0.5, "vacuum at %g s", float64(at))
		assert.InDelta(t, float64(a.LineFront), float64(b.LineFront), 50, "line at %g s", float64(at))
		assert.InDelta(t, float64(a.Hub), float64(b.Hub), 1e-7, "hub at %g s", float64(at))
	}
	assert.Zero(t, out.At(1).Pedal)
	assert.InDelta(t, 80, float64(out.At(1.3).Pedal), 1e-9)
	assert.InDelta(t, 40, float64(out.At(1.15).Pedal), 1e-9)
	assert.InDelta(t, 400, float64(out.At(9.05).Pedal), 1e-9)
	assert.InDelta(t, 0, float64(out.At(9.15).Pedal), 1e-9)
	assert.True(t, same(out.At(-5), out.At(0)) && same(out.At(99), out.At(s.Until)), "outside it stays at its ends")
}

func TestEveryEndsAtTheEnd(t *testing.T) {
	out := run(t, sim.Typical(), sim.Schedule{Until: 1})
	at := func(d si.Time) (times []float64) {
		for _, s := range out.Every(d) {
			times = append(times, float64(s.Time))
		}
		return times
	}
	assert.Equal(t, []float64{0, 0.5, 1}, at(0.5))
	assert.InDeltaSlice(t, []float64{0, 0.4, 0.8, 1}, at(0.4), 1e-12)
	assert.Len(t, at(0.1), 11)
}

func TestRunOfNoLengthHasItsStart(t *testing.T) {
	out := run(t, bench(60e3), sim.Schedule{})
	require.Len(t, out.Every(0.1), 1)
	assert.InDelta(t, 60e3, float64(out.At(0).FrontVacuum), 400)
}

// The check valve shuts some 0.3 kPa before all of the source's vacuum is there.
func TestSettlesAtSourceLessCheckValve(t *testing.T) {
	for _, vacuum := range []si.Vacuum{20e3, 66.7e3, 90e3} {
		for name, tank := range map[string]sim.Reservoir{
			"none":         {},
			"engine side":  {Volume: 2e-3, Place: sim.PlaceEngineSide},
			"own valve":    {Volume: 2e-3, Place: sim.PlaceEngineSide, InletValve: true},
			"booster side": {Volume: 20e-3, Place: sim.PlaceBoosterSide},
		} {
			c := bench(vacuum)
			c.Reservoir = tank
			got := settled(t, c).State()
			valves := 1.0
			if tank.InletValve {
				valves = 2
			}
			short := float64(vacuum - got.FrontVacuum)
			assert.True(t, short > 290*valves && short < 350*valves, "%s at %v: short by %.0f Pa", name, vacuum, short)
			assert.InDelta(t, float64(got.FrontVacuum), float64(got.WorkingVacuum), 5)
		}
	}
}

// An application sought and one of plain force may follow each other in any order.
func TestSoughtAndPlainPressesMix(t *testing.T) {
	out := run(t, sim.Typical(), sim.Schedule{
		Presses: []sim.Press{
			{At: 1, Pedal: 90, Press: 0.3, Hold: 1, Release: 0.3},
			{At: 4, Pedal: 500, Deceleration: 3, Press: 0.3, Hold: 2, Release: 0.3},
			{At: 8, Pedal: 120, Press: 0.3, Hold: 1, Release: 0.3},
			{At: 11, Pedal: 500, Deceleration: 2, Press: 0.3, Hold: 2, Release: 0.3},
			{At: 14, Pedal: 60, Press: 0.3, Hold: 1, Release: 0.3},
		},
		Until: 17,
	})
	assert.InDelta(t, 90, float64(out.At(2).Pedal), 1e-9)
	assert.InDelta(t, 3, float64(out.At(6.2).Deceleration), 0.06)
	assert.Zero(t, out.At(7).Pedal)
	assert.InDelta(t, 120, float64(out.At(9).Pedal), 1e-9)
	assert.InDelta(t, 2, float64(out.At(13.2).Deceleration), 0.04)
	assert.InDelta(t, 60, float64(out.At(15).Pedal), 1e-9)
	assert.Zero(t, out.At(17).Pedal)
}

func TestSettlingFreesThePedal(t *testing.T) {
	s := settled(t, sim.Typical())
	s.Plan(sim.Press{At: 0.5, Deceleration: 4, Pedal: 500, Press: 0.3, Hold: 5, Release: 0.3})
	advance(t, s, 3)
	require.Greater(t, float64(s.State().Pedal), 10.0)
	require.NoError(t, s.Settle(context.Background(), sim.EngineIdle))
	assert.Zero(t, s.State().Pedal)
	assert.InDelta(t, 0, float64(s.State().LineFront), 100)
	assert.Equal(t, si.Time(0), s.Time())
}

func TestPedalTakesOverFromASeekingDriver(t *testing.T) {
	s := settled(t, sim.Typical())
	s.Plan(sim.Press{At: 0.5, Deceleration: 4, Pedal: 500, Press: 0.3, Hold: 5, Release: 0.3})
	advance(t, s, 3)
	before := s.State().Pedal
	s.Pedal(30, 0.2)
	assert.InDelta(t, float64(before), float64(s.State().Pedal), 1e-9, "the foot starts from where it is")
	advance(t, s, 1)
	assert.InDelta(t, 30, float64(s.State().Pedal), 1e-9)
	advance(t, s, 10)
	assert.InDelta(t, 30, float64(s.State().Pedal), 1e-9)
}

func TestCancelledRunTellsWhereItStopped(t *testing.T) {
	s := settled(t, sim.Typical())
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	err := s.Advance(ctx, 1)
	require.ErrorIs(t, err, context.Canceled)
	var stopped *sim.StepError
	require.ErrorAs(t, err, &stopped)
	assert.Equal(t, si.Time(0), stopped.At)
	// The session is whole: it can go on.
	advance(t, s, 1)
	assert.Equal(t, si.Time(1), s.Time())
}
