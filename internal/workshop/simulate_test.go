package workshop

import (
	"math"
	"os"
	"testing"

	"github.com/pelletier/go-toml/v2"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

var (
	leakFree = Trial{testOf(scenario.LeakDown), Conditions{Vacuum: 66.7e3, Lasts: 15}}
	leakHeld = Trial{testOf(scenario.LeakDown), Conditions{Vacuum: 66.7e3, Lasts: 15, Pedal: 200}}
	creepLow = Trial{testOf(scenario.PressureCreep), Conditions{Pedal: 100, Lasts: 15}}
)

// garage returns a shipped scenario.
func garage(t testing.TB, name string) *scenario.Scenario {
	t.Helper()
	s, err := scenario.Open("../../scenarios/"+name+".toml", nil)
	require.NoError(t, err)
	return s
}

// publishedDrop is the limit of a leak-down in testdata/published.toml.
func publishedDrop(t testing.TB) si.Vacuum {
	t.Helper()
	data, err := os.ReadFile("../../testdata/published.toml")
	require.NoError(t, err)
	var published struct {
		LeakDown struct {
			Drop string `toml:"drop"`
		} `toml:"leak_down"`
	}
	require.NoError(t, toml.Unmarshal(data, &published))
	drop, err := si.ParseAs[si.Vacuum](published.LeakDown.Drop)
	require.NoError(t, err)
	return drop
}

// outcomeOf does one test on a car with faults.
func outcomeOf(t testing.TB, s *scenario.Scenario, test Trial, faults ...sim.Fault) float64 {
	t.Helper()
	c := s.Config
	c.Faults = faults
	v, err := NewRig(c, s.Reserve, Gauges{}).Try(t.Context(), test)
	require.NoError(t, err)
	return v
}

func leak(name sim.FaultName, mm2 float64) sim.Fault {
	return sim.Fault{Name: name, Area: si.Area(mm2 * 1e-6)}
}

// The two leak-downs of 15 s tell the leaks apart (common practice in what each
// rules out; limits of published manuals, secondary copies, in
// testdata/published.toml: 3.3 kPa from 66.7 kPa, unloaded and at 200 N).
func TestTwoLeakDownsTellLeaksApart(t *testing.T) {
	t.Parallel()
	s := garage(t, "bench-ten-inch")
	limit := float64(publishedDrop(t))
	for _, c := range []struct {
		fault            sim.Fault
		unloaded, loaded bool // fails
	}{
		{leak(sim.FaultFrontShellLeak, 0.2), true, true},
		{leak(sim.FaultCheckValveLeak, 0.2), true, true},
		{leak(sim.FaultAirSeatLeak, 0.2), true, false},
		{leak(sim.FaultDiaphragmTorn, 0.5), false, true},
		{leak(sim.FaultVacuumSeatLeak, 0.5), false, true},
		{FaultAt(sim.FaultHoseRestricted, 0.8), false, false},
		{FaultAt(sim.FaultFilterBlocked, 0.5), false, false},
		{FaultAt(sim.FaultLowSourceVacuum, 0.5), false, false},
		{FaultAt(sim.FaultBoosterUndersized, 0.5), false, false},
		{FaultAt(sim.FaultPedalRatioWrong, 0.5), false, false},
		{FaultAt(sim.FaultBoreOversize, 0.5), false, false},
	} {
		free, held := outcomeOf(t, s, leakFree, c.fault), outcomeOf(t, s, leakHeld, c.fault)
		t.Logf("%s: %.2f kPa free, %.2f kPa held", c.fault.Name, free/1e3, held/1e3)
		assert.Equal(t, c.unloaded, free > limit, "%s unloaded: %.0f Pa", c.fault.Name, free)
		assert.Equal(t, c.loaded, held > limit, "%s loaded: %.0f Pa", c.fault.Name, held)
	}
}

// It is said that below the knee a leak of the air seat lets the line pressure
// creep up while the pedal is held (common practice, no source). The simulated
// valve lets the leak out through its vacuum seat as soon as the output has risen
// by the lap band: the line stays within that, below what a gauge shows, so the
// test tells little, and is not recommended.
func TestAirSeatCreepStaysWithinTheLapBand(t *testing.T) {
	t.Parallel()
	s := garage(t, "stock-ten-inch")
	for _, mm2 := range []float64{0.1, 0.3, 1, 3, 10} {
		creep := outcomeOf(t, s, creepLow, leak(sim.FaultAirSeatLeak, mm2))
		t.Logf("air seat of %g mm²: %.3f MPa", mm2, creep/1e6)
		assert.Less(t, creep, lineRise.half)
	}
}

// A small tear of the diaphragm changes little, a large one much (common
// practice, no source): the pressure that a firm press gives with the vacuum kept up.
func TestSmallTearChangesLittle(t *testing.T) {
	t.Parallel()
	s := garage(t, "stock-ten-inch")
	press := Trial{testOf(scenario.LinePressure), Conditions{Pedal: 150, Vacuum: 60e3}}
	sound := outcomeOf(t, s, press)
	small := outcomeOf(t, s, press, leak(sim.FaultDiaphragmTorn, 0.5))
	large := outcomeOf(t, s, press, leak(sim.FaultDiaphragmTorn, 100))
	t.Logf("line pressure: sound %.2f MPa, 0.5 mm² %.2f, 100 mm² %.2f", sound/1e6, small/1e6, large/1e6)
	assert.InEpsilon(t, sound, small, 0.03)
	assert.Less(t, large, 0.75*sound)
}

// A wrong pedal ratio leaves the line pressure of the knee alone, an oversize
// bore lowers it; low vacuum lowers it and not the slope before it. Read with the
// foot that brings the sound car well below, and well beyond, its knee.
func TestGeometryFaultsShowWhereTheyShould(t *testing.T) {
	t.Parallel()
	s := garage(t, "stock-ten-inch")
	below := Trial{testOf(scenario.LinePressure), Conditions{Pedal: 80, Vacuum: 66.7e3}}
	lowVacuum := below
	lowVacuum.Vacuum = 50e3
	sound := outcomeOf(t, s, below)
	assert.InEpsilon(t, sound, outcomeOf(t, s, lowVacuum), 0.02, "before the knee vacuum does not matter")
	assert.Less(t, outcomeOf(t, s, below, FaultAt(sim.FaultPedalRatioWrong, 0.5)), 0.85*sound)
	assert.Less(t, outcomeOf(t, s, below, FaultAt(sim.FaultBoreOversize, 0.5)), 0.85*sound)
}

// Severity 0 is the sound car, and 1 the end of the scale; SeverityOf inverts.
func TestSeverityScale(t *testing.T) {
	t.Parallel()
	for _, name := range sim.FaultNames() {
		for _, v := range []si.Ratio{0, 0.1, 0.37, 0.5, 0.9, 1} {
			assert.InDelta(t, float64(v), float64(SeverityOf(FaultAt(name, v))), 2e-5, "%s at %g", name, v)
		}
		assert.Equal(t, FaultAt(name, 1), FaultAt(name, 3), "beyond the scale is its end")
	}
	s := garage(t, "stock-ten-inch")
	for _, test := range []Trial{leakFree, leakHeld, Trial{testOf(scenario.StopsLeft), Conditions{}}, Trial{testOf(scenario.BoosterVacuum), Conditions{}}} {
		sound := outcomeOf(t, s, test)
		half, _ := test.Gauge()
		for _, name := range sim.FaultNames() {
			assert.InDelta(t, sound, outcomeOf(t, s, test, FaultAt(name, 0)), 0.01*half, "%s, %s", test.Words(si.SI), name)
		}
	}
}

// Every leak and restriction that matters to a test matters more the worse it is.
func TestWorseFaultsReadWorse(t *testing.T) {
	t.Parallel()
	s := garage(t, "stock-ten-inch")
	for _, c := range []struct {
		name sim.FaultName
		test Trial
		sign float64
	}{
		{sim.FaultFrontShellLeak, leakFree, 1}, {sim.FaultDiaphragmTorn, leakHeld, 1}, {sim.FaultAirSeatLeak, leakFree, 1},
		{sim.FaultCheckValveLeak, Trial{testOf(scenario.StopsLeft), Conditions{}}, -1}, {sim.FaultLowSourceVacuum, Trial{testOf(scenario.BoosterVacuum), Conditions{}}, -1},
		{sim.FaultHoseLeak, Trial{testOf(scenario.BoosterVacuum), Conditions{}}, -1}, {sim.FaultHoseRestricted, Trial{testOf(scenario.PedalDropsOnStart), Conditions{}}, -1},
	} {
		last := outcomeOf(t, s, c.test)
		first := last
		for _, v := range []si.Ratio{0.3, 0.6, 1} {
			now := outcomeOf(t, s, c.test, FaultAt(c.name, v))
			assert.GreaterOrEqual(t, c.sign*(now-last), -2e-3*max(1, first), "%s at %g, %s", c.name, v, c.test.Words(si.SI))
			last = now
		}
		half, _ := c.test.Gauge()
		assert.Greater(t, c.sign*(last-first), half, "%s shows at its worst", c.name)
	}
}

// Two to four stops are left of a sound 10 in booster at about 20 inHg (common
// practice, no source), felt as the procedure has it.
func TestSoundCarHasTwoToFourStops(t *testing.T) {
	t.Parallel()
	n := outcomeOf(t, garage(t, "stock-ten-inch"), Trial{testOf(scenario.StopsLeft), Conditions{}})
	t.Logf("%.2f stops", n)
	assert.GreaterOrEqual(t, n, 2.0)
	assert.Less(t, n, 5.0)
}

// Time goes with the reciprocal of an opening that holds up the flow (Torricelli's
// law for the pressure ratios there, which do not change): a hose shut to a third
// takes three times as long to bring the vacuum back, and a filter to let the air in.
func TestTimesGoWithTheOpening(t *testing.T) {
	t.Parallel()
	s := garage(t, "stock-ten-inch")
	for _, c := range []struct {
		fault      sim.FaultName
		test       Trial
		wide, slim si.Ratio // shares left open
	}{
		{sim.FaultHoseRestricted, Trial{testOf(scenario.Recharge), Conditions{Pedal: 290}}, 0.09, 0.03},
		{sim.FaultFilterBlocked, Trial{testOf(scenario.PedalSettles), Conditions{Pedal: 290}}, 0.012, 0.004},
	} {
		wide := outcomeOf(t, s, c.test, sim.Fault{Name: c.fault, Open: c.wide})
		slim := outcomeOf(t, s, c.test, sim.Fault{Name: c.fault, Open: c.slim})
		t.Logf("%s: %.2f s and %.2f s", c.fault, wide, slim)
		assert.InEpsilon(t, float64(c.wide/c.slim), slim/wide, 0.1, c.fault)
		assert.Less(t, outcomeOf(t, s, c.test), 1.5, "a sound car is quick")
	}
}

// What the pedal travels more with air in the lines is the air: what is pressed
// out of its volume at the line pressure, over the bore's area, times the pedal
// ratio. A pushrod that is too long takes its length off, times the pedal ratio.
func TestPedalTravelIsFluidOverBore(t *testing.T) {
	t.Parallel()
	s := garage(t, "stock-ten-inch")
	test := Trial{testOf(scenario.PedalTravel), Conditions{Pedal: 100}}
	press := Trial{testOf(scenario.LinePressure), Conditions{Pedal: 100}}
	sound := outcomeOf(t, s, test)
	const air = 10e-6 * 0.2 // m³ at severity 0.2
	fault := FaultAt(sim.FaultAirInCircuit, 0.2)
	p := outcomeOf(t, s, press, fault)
	ambient, bore := float64(s.Config.Ambient.Pressure), float64(s.Config.Master.Bore)
	want := float64(s.Config.Pedal.Ratio) * air * p / (p + ambient) / (math.Pi / 4 * bore * bore)
	assert.InEpsilon(t, want, outcomeOf(t, s, test, fault)-sound, 0.15)
	assert.InDelta(t, -1e-3*float64(s.Config.Pedal.Ratio), outcomeOf(t, s, test, FaultAt(sim.FaultPushrodTooLong, 0.4))-sound, 0.5e-3)
}

// A pedal on an empty booster drops when the engine starts, and does not with
// no vacuum to speak of (common practice, no source).
func TestPedalDropsOnStart(t *testing.T) {
	t.Parallel()
	s := garage(t, "stock-ten-inch")
	drop := Trial{testOf(scenario.PedalDropsOnStart), Conditions{}}
	assert.Greater(t, outcomeOf(t, s, drop), feltFrom)
	assert.Less(t, outcomeOf(t, s, drop, FaultAt(sim.FaultLowSourceVacuum, 1)), feltFrom)
	assert.Less(t, outcomeOf(t, s, drop, FaultAt(sim.FaultHoseRestricted, 1)), feltFrom)
}
