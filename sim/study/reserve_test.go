package study

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// replay makes the stops of a result once more on a model of its own with a
// tenfold tighter tolerance, up to the one of the index, and presses that with
// another force. It returns the state at the end of the hold.
func replay(t *testing.T, s *scenario.Scenario, r *ReserveResult, stop int, force si.Force) sim.State {
	t.Helper()
	m, err := sim.New(s.Config, sim.Tolerance(sim.DefaultTolerance/10))
	require.NoError(t, err)
	ctx := context.Background()
	session := m.Start()
	require.NoError(t, session.Settle(ctx, sim.EngineIdle))
	if s.Reserve.FilledAt != sim.EngineIdle {
		require.NoError(t, session.Settle(ctx, sim.EngineOverrun))
	}
	session.Engine(s.Reserve.Engine)
	require.NoError(t, session.AdvanceTo(ctx, 1))
	for i := range stop {
		p := s.Reserve.Stop(session.Time())
		p.Pedal, p.Deceleration = r.Stops[i].Pedal, 0
		session.Plan(p)
		require.NoError(t, session.Advance(ctx, s.Reserve.Cycle()))
	}
	p := s.Reserve.Stop(session.Time())
	p.Pedal, p.Deceleration = force, 0
	session.Plan(p)
	require.NoError(t, session.Advance(ctx, p.Press+p.Hold))
	return session.State()
}

func reaches(r *ReserveResult, s sim.State) float64 {
	if r.DemandDeceleration.Exists() {
		return float64(s.Deceleration) / float64(r.DemandDeceleration.Value())
	}
	return float64(s.LineFront) / float64(r.DemandLine.Value())
}

// The needed force, pressed in a simulation of its own, reaches the demand, and
// a little less does not.
func TestNeededPedalReachesTheDemand(t *testing.T) {
	for _, c := range []struct {
		name  string
		flags []string
	}{
		{"stock-ten-inch", nil},
		{"dual-circuit", nil},
		{"big-cam-reservoir", nil},
		{"leaky-shell", nil},
		{"mountain", []string{"reserve.pedal=40 N"}},
		{"bench-tandem", []string{"reserve.deceleration=0.8 g"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			s := garage(t, c.name, c.flags...)
			r := reserveOf(t, s)
			stops := []int{0, 1, 2, 4}
			if testing.Short() {
				stops = stops[:2]
			}
			for _, i := range stops {
				stop := r.Stops[i]
				require.True(t, stop.Needed.Exists())
				at := reaches(r, replay(t, s, r, i, stop.Needed.Value()))
				assert.InDelta(t, 1, at, 1e-3, "stop %d", i+1)
				less := reaches(r, replay(t, s, r, i, 0.97*stop.Needed.Value()))
				assert.Less(t, less, 0.9995, "stop %d", i+1)
			}
		})
	}
}

// What makes a stop assisted, stop by stop, whatever the scenario.
func TestAssistedStopsAreCounted(t *testing.T) {
	t.Parallel()
	capped := 0
	for _, name := range shippedNames(t) {
		s := garage(t, name)
		s.Spreads = nil // one car, no sample of them
		r := reserveOf(t, s)
		count, counting := 0, true
		for i, stop := range r.Stops {
			assert.Equal(t, i+1, stop.Number)
			enough := stop.Needed.Exists() && stop.Needed.Value() <= s.Reserve.ForceLimit && stop.ShareAtNeeded.Value() >= s.Reserve.ShareLimit
			assert.Equal(t, enough && s.Config.Booster.Kind != sim.BoosterNone, stop.Assisted, "%s, stop %d", name, i+1)
			counting = counting && stop.Assisted
			if counting {
				count++
			}
			assert.GreaterOrEqual(t, float64(stop.Share.Value()), 0.0)
			if i > 0 && stop.VacuumBefore.Exists() {
				assert.Equal(t, r.Stops[i-1].VacuumAfter, stop.VacuumBefore, "%s, stop %d begins where the last pause ended", name, i+1)
			}
		}
		assert.Equal(t, count, r.AssistedStops, name)
		assert.Equal(t, count == s.Reserve.Stops, r.Capped, name)
		if r.Capped {
			capped++
		}
	}
	assert.Positive(t, capped)
	assert.Less(t, capped, len(shippedNames(t)))
}

func TestNoBoosterHasNoAssistedStop(t *testing.T) {
	for _, flags := range [][]string{nil, {"reserve.deceleration=0.3 g"}, {"reserve.engine=idle"}} {
		r := reserveOf(t, garage(t, "manual-pedal", flags...))
		assert.Zero(t, r.AssistedStops)
		assert.False(t, r.Capped)
		assert.False(t, r.StartVacuum.Exists())
		for _, stop := range r.Stops {
			assert.False(t, stop.Assisted)
			assert.False(t, stop.VacuumBefore.Exists())
			assert.InDelta(t, 0, float64(stop.Share.Value()), 1e-9)
			assert.InDelta(t, float64(r.Stops[0].Needed.Value()), float64(stop.Needed.Value()), 0.2, "every stop is alike")
		}
	}
}

// A driver who seeks a deceleration presses what it needs, up to the limit.
func TestSoughtDecelerationIsPressedWithinTheLimit(t *testing.T) {
	s := garage(t, "dual-circuit", "reserve.deceleration=0.6 g")
	r := reserveOf(t, s)
	within, beyond := 0, 0
	for i, stop := range r.Stops {
		require.True(t, stop.Needed.Exists())
		if float64(stop.Needed.Value()) <= float64(s.Reserve.ForceLimit) {
			within++
			assert.InDelta(t, float64(stop.Needed.Value()), float64(stop.Pedal), 1e-9, "stop %d", i+1)
			assert.InEpsilon(t, float64(s.Reserve.Deceleration), float64(stop.Deceleration), 2e-3, "stop %d", i+1)
			continue
		}
		beyond++
		assert.Equal(t, s.Reserve.ForceLimit, stop.Pedal, "stop %d", i+1)
		assert.Less(t, stop.Deceleration, s.Reserve.Deceleration)
	}
	assert.Positive(t, within)
	assert.Positive(t, beyond)
	out := reserveOf(t, garage(t, "dual-circuit", "reserve.deceleration=2 g"))
	assert.Zero(t, out.AssistedStops)
	for _, stop := range out.Stops {
		assert.False(t, stop.Needed.Exists(), "no tyre gives 2 g")
		assert.Equal(t, s.Reserve.ForceLimit, stop.Pedal)
	}
}

// Less vacuum never leaves more assisted stops for one deceleration, nor a lighter pedal.
func TestLessVacuumIsNeverMoreStops(t *testing.T) {
	t.Parallel()
	for _, flags := range [][]string{nil, {"reservoir.volume=3 L"}, {"booster.diameter=8 in"}} {
		last, needed := math.MaxInt, 0.0
		for _, vacuum := range []string{"22 inHg", "18 inHg", "14 inHg", "10 inHg", "6 inHg", "3 inHg"} {
			all := append([]string{"source.vacuum=" + vacuum, "reserve.deceleration=0.4 g", "reserve.stops=12"}, flags...)
			r := reserveOf(t, typical(t, all...))
			t.Logf("%v at %s: %d stops, first needs %.1f N", flags, vacuum, r.AssistedStops, float64(r.Stops[0].Needed.Value()))
			assert.LessOrEqual(t, r.AssistedStops, last, "%v at %s", flags, vacuum)
			last = r.AssistedStops
			if n := r.Stops[0].Needed; n.Exists() {
				// On the power line a little less vacuum loads the piston a little less.
				assert.GreaterOrEqual(t, float64(n.Value()), needed-3, "%v at %s", flags, vacuum)
				needed = float64(n.Value())
			}
		}
	}
}

// With the engine off the vacuum falls with every stop, more slowly with a tank;
// a tank without a valve at its inlet is as good as none. Harder stops cost more.
func TestVacuumFallsWithEveryStop(t *testing.T) {
	t.Parallel()
	run := func(flags ...string) []float64 {
		r := reserveOf(t, typical(t, append([]string{"source.kind=bench", "source.vacuum=66.7 kPa", "reserve.stops=5"}, flags...)...))
		out := []float64{kPa(r.StartVacuum.Value())}
		for _, s := range r.Stops {
			out = append(out, kPa(s.VacuumAfter.Value()))
		}
		t.Logf("%v: %.1f", flags, out)
		return out
	}
	var lighter []float64
	for _, pedal := range []string{"40 N", "100 N", "200 N", "400 N"} {
		none := run("reserve.pedal=" + pedal)
		tank := run("reserve.pedal="+pedal, "reservoir.volume=2 L")
		beyond := run("reserve.pedal="+pedal, "reservoir.volume=2 L", "reservoir.place=booster side")
		bled := run("reserve.pedal="+pedal, "reservoir.volume=2 L", "reservoir.inlet_valve=false")
		for i := 1; i < len(none); i++ {
			assert.Less(t, none[i], none[i-1], "%s, stop %d", pedal, i)
			assert.Less(t, tank[i], tank[i-1], "%s, stop %d", pedal, i)
			assert.Greater(t, tank[i], none[i]+1, "%s, stop %d", pedal, i)
			assert.InDelta(t, tank[i], beyond[i], 1.5, "%s, stop %d: on either side of the check valve", pedal, i)
			assert.InDelta(t, none[i], bled[i], 0.5, "%s, stop %d: bled by the engine", pedal, i)
		}
		if lighter != nil {
			assert.Less(t, none[1], lighter[1], "%s costs more than a lighter stop", pedal)
		}
		lighter = none
	}
}

// A stop may follow the one before at once, in all that makes a series of them.
func TestStopsWithoutPause(t *testing.T) {
	t.Parallel()
	s := typical(t, "reserve.pause=0 s", "reserve.stops=10")
	r := reserveOf(t, s)
	require.Len(t, r.Stops, 10)
	for i, stop := range r.Stops[1:] {
		assert.Equal(t, r.Stops[i].VacuumAfter, stop.VacuumBefore, "stop %d", stop.Number)
	}
	_, err := Failures(t.Context(), s, nil)
	require.NoError(t, err)
}

func TestReserveStopsWhenTold(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := Reserve(ctx, garage(t, "stock-ten-inch"), nil)
	require.ErrorIs(t, err, context.Canceled)
	_, err = Curve(ctx, garage(t, "stock-ten-inch"), CurveOptions{})
	require.ErrorIs(t, err, context.Canceled)
}

// BenchmarkReserve answers each shipped scenario's question for one car: time
// and memory of one `reserve`. Where the scenario has tolerances, "sampled" is
// the whole answer, for as many cars as it takes.
func BenchmarkReserve(b *testing.B) {
	for _, name := range shippedNames(b) {
		s := garage(b, name)
		one := *s
		one.Spreads = nil
		b.Run(name, func(b *testing.B) { benchReserve(b, &one) })
		if len(s.Spreads) > 0 {
			b.Run(name+"/sampled", func(b *testing.B) { benchReserve(b, s) })
		}
	}
}

func benchReserve(b *testing.B, s *scenario.Scenario) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Reserve(context.Background(), s, nil); err != nil {
			b.Fatal(err)
		}
	}
}
