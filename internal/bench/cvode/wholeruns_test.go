//go:build sundials

package cvode_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/bench/cvode"
	"kneepoint/sim"
	"kneepoint/sim/si"
)

// Whole runs against SUNDIALS CVODE (BDF, dense difference Jacobian, Newton) at
// rtol 3e-11 on the same right-hand side. Trust: general-purpose reference library,
// run here. It starts from the same settled state and never takes over a state of
// ours; only the inputs and the times at which they turn are shared.

const (
	compareLength = 64.0  // s
	compareEvery  = 5e-3  // s
	referenceRel  = 1e-11 // of CVODE
)

// Expected before the first comparison, in Pa, of every vacuum and both line
// pressures at any time; a hundred times less at a hundredth of the tolerance. At
// 3e-5 the bound is missed (13 Pa in the working chamber at 40 N), which is why the
// default is tighter.
const (
	tightRel    = sim.DefaultTolerance / 100
	vacuumBound = 5.0
	lineBound   = 3e3
)

type comparison struct {
	name     string
	config   sim.Config
	schedule sim.Schedule
}

// eightStops presses every 8 s: ramp, hold, release, pause.
func eightStops(force si.Force, events ...sim.Event) sim.Schedule {
	s := sim.Schedule{Events: events, Until: compareLength}
	for i := range 8 {
		s.Presses = append(s.Presses, sim.Press{At: si.Time(0.5 + 8*float64(i)), Pedal: force, Press: 0.3, Hold: 2, Release: 0.3})
	}
	return s
}

func comparisons() []comparison {
	bench := sim.Typical()
	bench.Source.Kind = sim.SourceBench
	tank := sim.Typical()
	tank.Reservoir.Volume = 2e-3
	leaking := sim.Typical()
	leaking.Faults = []sim.Fault{
		{Name: sim.FaultFrontShellLeak, Area: 0.2e-6},
		{Name: sim.FaultDiaphragmTorn, Area: 0.5e-6},
		{Name: sim.FaultCheckValveLeak, Area: 0.3e-6},
		{Name: sim.FaultHoseLeak, Area: 0.2e-6},
	}
	off := sim.Event{At: 0, Engine: sim.EngineOff}
	return []comparison{
		{"bench, off, 40 N", bench, eightStops(40, off)},
		{"bench, off, 200 N", bench, eightStops(200, off)},
		{"bench, off, 400 N", bench, eightStops(400, off)},
		{"engine with tank, key-off after two stops", tank, eightStops(150, sim.Event{At: 18, Engine: sim.EngineOff})},
		{"leaking engine, snap and key-off", leaking, eightStops(150,
			sim.Event{At: 10, Engine: sim.EngineOverrun}, sim.Event{At: 17, Engine: sim.EngineSnap}, sim.Event{At: 22, Engine: sim.EngineIdle}, sim.Event{At: 33, Engine: sim.EngineOff})},
	}
}

// settledAt runs the car tightly until it has settled, so that every run compared
// starts from the same state.
func settledAt(tb testing.TB, c sim.Config) *sim.Session {
	m, err := sim.New(c, sim.Tolerance(1e-8))
	require.NoError(tb, err)
	s := m.Start()
	require.NoError(tb, s.Settle(context.Background(), sim.EngineIdle))
	return s
}

// drive runs a schedule from the session's state, as Model.Run does after settling.
func drive(tb testing.TB, s *sim.Session, plan sim.Schedule) {
	ctx := context.Background()
	for _, p := range plan.Presses {
		s.Plan(p)
	}
	for _, e := range plan.Events {
		require.NoError(tb, s.AdvanceTo(ctx, e.At))
		s.Engine(e.Engine)
	}
	require.NoError(tb, s.AdvanceTo(ctx, plan.Until))
}

// ours runs the schedule with the project's integrator.
func ours(tb testing.TB, c comparison, settled *sim.Session, rel float64) *sim.Trajectory {
	m, err := sim.New(c.config, sim.Tolerance(rel))
	require.NoError(tb, err)
	s := settled.On(m)
	s.Record()
	drive(tb, s, c.schedule)
	return s.Trajectory()
}

// integrated runs the same with CVODE from y0. The absolute tolerances are a tenth of
// those of the project's integrator: the judge has to be the surer of the two.
func integrated(tb testing.TB, r *sim.Replay, y0 []float64, rel float64, sample []float64) [][]float64 {
	atol := r.Scales()
	for i := range atol {
		atol[i] *= 0.1 * rel
	}
	got, _, err := cvode.Integrate(r.Rates, 0, y0, r.Ends(), rel, atol, sample)
	require.NoError(tb, err)
	return got
}

// observed are all quantities at the given times from a run of CVODE.
func observed(tb testing.TB, r *sim.Replay, y0 []float64, rel float64, times []float64) []sim.State {
	ys := integrated(tb, r, y0, rel, times)
	out := make([]sim.State, len(times))
	for i, t := range times {
		out[i] = r.Observe(t, ys[i])
	}
	return out
}

func grid() []float64 {
	times := make([]float64, int(math.Round(compareLength/compareEvery)))
	for i := range times {
		times[i] = compareEvery * float64(i+1)
	}
	times[len(times)-1] = compareLength
	return times
}

func sampled(t *sim.Trajectory, times []float64) []sim.State {
	out := make([]sim.State, len(times))
	for i, at := range times {
		out[i] = t.At(si.Time(at))
	}
	return out
}

// worst is the largest difference over a run, in Pa, and when it was.
type worst struct{ most, at float64 }

func (w *worst) see(at, a, b float64) {
	if d := math.Abs(a - b); d > w.most {
		w.most, w.at = d, at
	}
}

// difference is the worst of each kind: of the vacuum that is stored (front chamber
// and tank), of the working chamber's, which changes by its whole size within some
// hundredths of a second, and of the line pressures.
type difference struct{ vacuum, working, line worst }

func differ(a, b []sim.State) difference {
	var d difference
	for i := range a {
		at := float64(a[i].Time)
		d.vacuum.see(at, float64(a[i].FrontVacuum), float64(b[i].FrontVacuum))
		d.vacuum.see(at, float64(a[i].ReservoirVacuum), float64(b[i].ReservoirVacuum))
		d.working.see(at, float64(a[i].WorkingVacuum), float64(b[i].WorkingVacuum))
		d.line.see(at, float64(a[i].LineFront), float64(b[i].LineFront))
		d.line.see(at, float64(a[i].LineRear), float64(b[i].LineRear))
	}
	return d
}

func (d difference) log(t *testing.T, what string) {
	t.Helper()
	t.Logf("%-17s vacuum %.2e kPa at %.3f s, working chamber %.2e kPa at %.3f s, line %.2e MPa at %.3f s", what,
		d.vacuum.most/1e3, d.vacuum.at, d.working.most/1e3, d.working.at, d.line.most/1e6, d.line.at)
}

func TestWholeRunsAgainstCVODE(t *testing.T) {
	for _, c := range comparisons() {
		t.Run(c.name, func(t *testing.T) {
			settled := settledAt(t, c.config)
			byDefault := ours(t, c, settled, sim.DefaultTolerance)
			tight := ours(t, c, settled, tightRel)
			replay, err := byDefault.Replay()
			require.NoError(t, err)
			start := settled.Vector()
			times := grid()
			reference := observed(t, replay, start, referenceRel, times)
			against := func(what string, run *sim.Trajectory) difference {
				inside := differ(sampled(run, times), reference)
				inside.log(t, what)
				at := run.StepEnds()
				differ(sampled(run, at), observed(t, replay, start, referenceRel, at)).log(t, "  at step ends")
				return inside
			}
			own := differ(observed(t, replay, start, 10*referenceRel, times), reference)
			own.log(t, "CVODE at 1e-10")

			for _, r := range []struct {
				what  string
				run   *sim.Trajectory
				share float64
			}{{"by default", byDefault, 1}, {"tight", tight, 0.01}} {
				inside := against(r.what, r.run)
				assert.LessOrEqual(t, inside.line.most, r.share*lineBound, r.what)
				assert.LessOrEqual(t, inside.vacuum.most, r.share*vacuumBound, r.what)
				assert.LessOrEqual(t, inside.working.most, r.share*vacuumBound, r.what)
				// The judge must be surer than what it judges.
				assert.Less(t, own.vacuum.most, inside.vacuum.most/2)
				assert.Less(t, own.working.most, inside.working.most/2)
				assert.Less(t, own.line.most, inside.line.most/2)
			}
		})
	}
}
