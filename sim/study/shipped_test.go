package study

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// shippedNames lists the scenarios that come with the program.
func shippedNames(t testing.TB) []string {
	t.Helper()
	files, err := filepath.Glob("../../scenarios/*.toml")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 12)
	names := make([]string, len(files))
	for i, f := range files {
		names[i] = strings.TrimSuffix(filepath.Base(f), ".toml")
	}
	return names
}

func shippedCurves(t *testing.T, names ...string) []*ForceCurve {
	t.Helper()
	out := make([]*ForceCurve, len(names))
	for i, name := range names {
		out[i] = curveOf(t, garage(t, name))
	}
	return out
}

// With a big cam a 7 in booster helps less than a 9 in, and that less than two
// of 8 in in line, by the line pressure that 200 N gives.
func TestBigCamSizesInOrder(t *testing.T) {
	f := shippedCurves(t, "big-cam-seven", "big-cam-nine", "big-cam-tandem")
	seven, nine, tandem := f[0].lineAt(200), f[1].lineAt(200), f[2].lineAt(200)
	t.Logf("at 200 N: %.2f, %.2f, %.2f MPa", MPa(seven.Value()), MPa(nine.Value()), MPa(tandem.Value()))
	assert.Less(t, float64(seven.Value()), 0.85*float64(nine.Value()))
	assert.Less(t, float64(nine.Value()), 0.85*float64(tandem.Value()))
	// A 7 in at 10 inHg is what an adviser calls a hard pedal: no hard stop within what the law
	// lets a driver press.
	assert.Greater(t, float64(f[0].HardStopPedal.Value()), float64(verdict.LegalPedal))
	assert.Greater(t, float64(f[2].Knee.Line.Value()), 2*float64(f[0].Knee.Line.Value()))
}

// A tank filled on the overrun gives the first stops from the road the vacuum of
// the overrun; then the idle's is all there is. It gives more stops than none,
// and no more help in the first than the vacuum it was filled at.
func TestTankGivesMoreStopsNotMoreHelp(t *testing.T) {
	filled := reserveOf(t, garage(t, "big-cam-reservoir"))
	idle := reserveOf(t, garage(t, "big-cam-reservoir", "reserve.filled_at=idle"))
	for _, r := range []*ReserveResult{filled, idle} {
		last := r.Stops[len(r.Stops)-1]
		t.Logf("start %.1f kPa, %d stops, first needs %.0f N, vacuum at the end %.1f kPa",
			kPa(r.StartVacuum.Value()), r.AssistedStops, float64(r.Stops[0].Needed.Value()), kPa(last.VacuumAfter.Value()))
	}
	// 16 to 20 inHg from the overrun, whatever the idle (common practice, no source).
	start := filled.StartVacuum.Value() / si.InchOfMercury
	assert.Greater(t, float64(start), 16.0)
	assert.LessOrEqual(t, float64(start), 20.5)
	end := filled.Stops[len(filled.Stops)-1].VacuumAfter.Value()
	assert.InDelta(t, kPa(idle.StartVacuum.Value()), kPa(end), 1.5, "waiting at idle refills to idle only")

	with := func(tank string) *ReserveResult {
		flags := []string{"reserve.engine=off", "reserve.filled_at=cruise", "reserve.deceleration=0.5 g"}
		name := "big-cam-nine"
		if tank != "" {
			flags = append(flags, "reservoir.volume="+tank)
		}
		return reserveOf(t, garage(t, name, flags...))
	}
	none, small, large := with(""), with("2 L"), with("6 L")
	t.Logf("engine off, 0.5 g: %d, %d, %d stops without a tank, with 2 L, with 6 L; first needs %.1f, %.1f, %.1f N",
		none.AssistedStops, small.AssistedStops, large.AssistedStops, float64(none.Stops[0].Needed.Value()), float64(small.Stops[0].Needed.Value()), float64(large.Stops[0].Needed.Value()))
	assert.Less(t, none.AssistedStops, large.AssistedStops)
	assert.LessOrEqual(t, none.AssistedStops, small.AssistedStops)
	assert.LessOrEqual(t, small.AssistedStops, large.AssistedStops)
	// A tank also keeps the front chamber from losing vacuum as it shrinks, which
	// is all it can add to the first stop: it never helps more than a bench held
	// at the vacuum of the fill.
	held := reserveOf(t, garage(t, "big-cam-nine", "source.kind=bench", flag("source.vacuum", large.StartVacuum.Value()+0.5e3),
		"reserve.engine=idle", "reserve.deceleration=0.5 g"))
	assert.GreaterOrEqual(t, float64(large.Stops[0].Needed.Value()), float64(held.Stops[0].Needed.Value())-1)
	assert.InDelta(t, float64(none.Stops[0].Needed.Value()), float64(large.Stops[0].Needed.Value()), 0.25*float64(none.Stops[0].Needed.Value()))
}

// An electric pump keeps up with a stop every ten seconds, above its switch-on vacuum.
func TestPumpKeepsGoingInStopAndGo(t *testing.T) {
	s := garage(t, "big-cam-pump")
	r := reserveOf(t, s)
	assert.True(t, r.Capped)
	for i, stop := range r.Stops {
		assert.Greater(t, stop.VacuumBefore.Value(), s.Config.Pump.On, "stop %d", i+1)
		assert.Equal(t, "easy", verdict.Effort(stop.Needed.Value()), "stop %d", i+1)
	}
	// The same without it.
	without := curveOf(t, garage(t, "big-cam-nine"))
	both := curvesOf(t, s)
	require.Len(t, both, 2)
	with := both[0] // where the pump starts, the worst
	assert.Greater(t, float64(with.Knee.Line.Value()), 1.5*float64(without.Knee.Line.Value()))
	// With the engine dead the pump stops too, and so does the help.
	off := reserveOf(t, garage(t, "big-cam-pump", "reserve.engine=off"))
	assert.False(t, off.Capped)
	goes := reserveOf(t, garage(t, "big-cam-pump", "reserve.engine=off", "pump.with_engine_off=true"))
	assert.Greater(t, goes.AssistedStops, off.AssistedStops)
}

func TestStopAndGoHoldsWhatTheIdleGives(t *testing.T) {
	r := reserveOf(t, garage(t, "stop-and-go"))
	assert.True(t, r.Capped, "an idling engine refills a booster within seconds")
	for i, stop := range r.Stops {
		assert.InDelta(t, kPa(r.StartVacuum.Value()), kPa(stop.VacuumBefore.Value()), 0.5, "stop %d", i+1)
	}
	// Yet what it holds is little: a hard stop is beyond what the law lets a driver press.
	assert.Greater(t, float64(curveOf(t, garage(t, "stop-and-go")).HardStopPedal.Value()), float64(verdict.LegalPedal))
}

// At 2,000 m an engine that keeps its manifold pressure leaves less vacuum: less
// help, and a knee that comes earlier.
func TestMountainLeavesLessHelp(t *testing.T) {
	up, down := curveOf(t, garage(t, "mountain")), curveOf(t, garage(t, "mountain", "ambient.altitude=0 m"))
	assert.Less(t, float64(up.Knee.Line.Value()), 0.75*float64(down.Knee.Line.Value()))
	assert.Less(t, float64(up.Knee.Pedal.Value()), float64(down.Knee.Pedal.Value()))
	// The vacuum falls by what the air pressure does: 101.3 to 79.5 kPa (ISA).
	assert.InDelta(t, 101.325-79.495, kPa(si.Vacuum(down.Vacuum.Value()-up.Vacuum.Value())), 0.05)
	assert.InDelta(t, float64(down.Ratio.Value()), float64(up.Ratio.Value()), 0.05, "the slope before the knee is the disc's")
	high, low := reserveOf(t, garage(t, "mountain", "reserve.deceleration=0.5 g")), reserveOf(t, garage(t, "mountain", "ambient.altitude=0 m", "reserve.deceleration=0.5 g"))
	t.Logf("0.5 g: %d stops up there, %d down here", high.AssistedStops, low.AssistedStops)
	assert.Less(t, high.AssistedStops, low.AssistedStops)
}

// One circuit or two of the same bore: the same pedal. What differs is a burst hose.
func TestSingleAndDualCircuitFeelAlike(t *testing.T) {
	single, dual := garage(t, "single-circuit"), garage(t, "dual-circuit")
	a, b := curveOf(t, single), curveOf(t, dual)
	for _, force := range []si.Force{50, 100, 200, 400} {
		assert.InEpsilon(t, float64(a.lineAt(force).Value()), float64(b.lineAt(force).Value()), 0.01, "%v", force)
	}
	one, two := reserveOf(t, single), reserveOf(t, dual)
	assert.Equal(t, one.AssistedStops, two.AssistedStops)
	slows := func(name, lost string) si.Acceleration {
		s, err := garage(t, name, lost+"=true").Edit([]scenario.Setting{
			{Path: "reserve.pedal", Value: "300 N"}, {Path: "reserve.stops", Value: "1"}, {Path: "reserve.engine", Value: "idle"},
		}, "reserve.deceleration")
		require.NoError(t, err)
		r := reserveOf(t, s)
		t.Logf("%s with %s: %v", name, lost, r.Stops[0].Deceleration)
		return r.Stops[0].Deceleration
	}
	for _, lost := range []string{"circuit.front.lost", "circuit.rear.lost"} {
		assert.Less(t, float64(slows("single-circuit", lost)), 0.3, "nothing is left")
		assert.Greater(t, float64(slows("dual-circuit", lost)), 0.8, "half of it is left")
	}
}

// A pinhole in the front shell empties the booster between the stops.
func TestLeakyShellLosesItsStops(t *testing.T) {
	leaky := reserveOf(t, garage(t, "leaky-shell"))
	s, err := garage(t, "leaky-shell").Edit(nil, "fault")
	require.NoError(t, err)
	sound := reserveOf(t, s)
	t.Logf("%d stops with the leak, %d without", leaky.AssistedStops, sound.AssistedStops)
	assert.Less(t, leaky.AssistedStops, sound.AssistedStops)
	assert.GreaterOrEqual(t, sound.AssistedStops, 2)
	assert.LessOrEqual(t, leaky.AssistedStops, 1)
	// With the engine running it is hardly felt: the engine draws more than comes in.
	a, b := curveOf(t, garage(t, "leaky-shell")), curveOf(t, s)
	assert.InEpsilon(t, float64(b.Knee.Line.Value()), float64(a.Knee.Line.Value()), 0.06)
}

// A stock engine and a sound 10 in booster: an easy hard stop and a few left after it dies.
func TestStockCarIsHealthy(t *testing.T) {
	f := curveOf(t, garage(t, "stock-ten-inch"))
	assert.Equal(t, "easy", verdict.Effort(f.HardStopPedal.Value()))
	r := reserveOf(t, garage(t, "stock-ten-inch"))
	assert.GreaterOrEqual(t, r.AssistedStops, 2)
	assert.LessOrEqual(t, r.AssistedStops, 4)
	assert.Equal(t, "easy", verdict.Effort(r.Stops[0].Needed.Value()))
}

// A manual pedal of 6.2:1 on 7/8 in: the foot alone, by lever and area.
func TestManualPedalIsLeverAndArea(t *testing.T) {
	s := garage(t, "manual-pedal")
	f := curveOf(t, s)
	m := s.Config.Master
	for _, force := range []si.Force{200, 350, 500} {
		x := where(f.pressingFine, pedalOf, func(s sim.State) float64 { return float64(s.Piston) }, float64(force))
		push := float64(force)*float64(s.Config.Pedal.Ratio) - float64(m.Spring) - float64(m.SpringRate)*x
		assert.InDelta(t, push/boreArea(&s.Config), float64(f.lineAt(force).Value()), 0.1e6, "%v", force)
	}
	assert.Equal(t, "heavy", verdict.Effort(f.HardStopPedal.Value()))
}
