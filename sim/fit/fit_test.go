package fit

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"kneepoint/internal/answertest"
	"kneepoint/sim"
	"kneepoint/sim/gaugelog"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// logged is a synthetic log: a car driven by a schedule with the engine off, read at
// equal intervals by gauges that scatter.
type logged struct {
	car     []string // settings over the built-in car
	start   si.Vacuum
	presses []sim.Press
	every   si.Time
	lasts   si.Time
	// scatter of the vacuum gauge and of the line gauge; no line gauge at 0.
	vacuum, line float64
	offset       float64 // Pa that the vacuum gauge reads too much
	foot         float64 // scatter of the load cell, N
}

// track is what truly happens.
func (l logged) track(t *testing.T) *sim.Trajectory {
	t.Helper()
	s, err := scenario.Builtin(l.car...)
	require.NoError(t, err)
	m, err := sim.New(s.Config, sim.Tolerance(fitTolerance))
	require.NoError(t, err)
	session := m.Start()
	session.Fill(l.start)
	session.Record()
	for _, p := range l.presses {
		session.Plan(p)
	}
	require.NoError(t, session.AdvanceTo(context.Background(), l.lasts))
	return session.Trajectory()
}

// text is the log as a file.
func (l logged) text(states []sim.State, rng *rand.Rand) string {
	var b strings.Builder
	b.WriteString("time_s,vacuum_pa")
	if len(l.presses) > 0 {
		b.WriteString(",pedal_n")
	}
	if l.line > 0 {
		b.WriteString(",line_pa")
	}
	for _, s := range states {
		fmt.Fprintf(&b, "\n%.9g,%.9g", float64(s.Time), float64(s.FrontVacuum)+l.offset+l.vacuum*rng.NormFloat64())
		if len(l.presses) > 0 {
			fmt.Fprintf(&b, ",%.9g", float64(s.Pedal)+l.foot*rng.NormFloat64())
		}
		if l.line > 0 {
			fmt.Fprintf(&b, ",%.9g", float64(s.LineFront)+l.line*rng.NormFloat64())
		}
	}
	return b.String()
}

func readLog(t *testing.T, text string) *gaugelog.Log {
	t.Helper()
	l, err := gaugelog.Read(context.Background(), strings.NewReader(text), "test.csv")
	require.NoError(t, err)
	return l
}

// fitOf fits the built-in car with settings to a log.
func fitOf(t *testing.T, text string, car ...string) *Result {
	t.Helper()
	s, err := scenario.Builtin(car...)
	require.NoError(t, err)
	f, err := New(s, readLog(t, text))
	require.NoError(t, err)
	r, err := f.Solve(context.Background(), nil)
	require.NoError(t, err)
	return r
}

func (r *Result) of(t *testing.T, name string) *Fitted {
	t.Helper()
	for i := range r.Unknowns {
		if r.Unknowns[i].Name == name {
			return &r.Unknowns[i]
		}
	}
	require.Fail(t, "no unknown", name)
	return nil
}

func leaking(area string) []string {
	return []string{"fault[0].name=front-shell-leak", "fault[0].area=" + area}
}

func restLog() logged {
	return logged{car: leaking("0.1 mm2"), start: 66.7e3, every: 1, lasts: 60, vacuum: 300}
}

func pressLog() logged {
	l := restLog()
	l.every, l.lasts = 0.2, 24
	l.presses = []sim.Press{
		{At: 3, Pedal: 60, Press: 0.4, Hold: 2, Release: 0.4},
		{At: 12, Pedal: 120, Press: 0.4, Hold: 2, Release: 0.4},
		{At: 18, Pedal: 200, Press: 0.4, Hold: 2, Release: 0.4},
	}
	return l
}

// A rigid volume that air leaks into through a small opening, at one temperature: the
// pressure rises in a straight line while the flow is choked, and then as a sine. That
// is the integral of the flow of ISO 6358 (published text of the flow law, the integral
// our own) and knows nothing of the model's states. The fit must find the opening in it.
func TestLeakInTheClosedForm(t *testing.T) {
	t.Parallel()
	const (
		ambient, warm   = 101325.0, 293.15
		gas, b          = 287.05, 0.5
		density, nozzle = 1.185, 1.992e-3
		start           = 66.7e3
		walls           = 3.5 // W/K of both chambers
		points          = 80
	)
	c := sim.Typical()
	volume := float64(c.Booster.FrontVolume + c.Booster.RearVolume)
	for _, area := range []float64{0.02e-6, 0.1e-6, 0.5e-6} {
		rate := area * nozzle * density * gas * warm / volume // of the pressure over ambient
		r0 := 1 - start/ambient
		choked := (b - r0) / rate
		var text strings.Builder
		text.WriteString("time_s,vacuum_pa\n")
		until := choked + 0.6*(1-b)/rate
		for i := range points {
			at := until * float64(i) / (points - 1)
			r := r0 + rate*at
			if at > choked {
				r = b + (1-b)*math.Sin(rate*(at-choked)/(1-b))
			}
			fmt.Fprintf(&text, "%.6f,%.3f\n", at, ambient*(1-r))
		}
		fit := fitOf(t, text.String(), "fit.find=front-shell-leak")
		got := fit.of(t, "front-shell-leak")
		assert.True(t, fit.Converged)
		// Filling warms the air, until the walls take what comes in: V dp/dt. The formula
		// knows nothing of that, so that by this share of the temperature they may differ.
		warmer := volume * ambient * rate / walls / warm
		assert.InDelta(t, 1, got.Estimate/area, 1.5*warmer+1e-4, "%g m²", area)
		t.Logf("%.3g mm²: found %.5g (%.2f %% off, %.2f %% warmer), rms %.1f Pa", 1e6*area, 1e6*got.Estimate, 100*(got.Estimate/area-1), 100*warmer, fit.Gauges[0].RMS)
	}
}

// Over many logs of one car the truth lies in the 95 % range about 95 times in 100,
// the standard errors are those by which the estimates scatter, and they are not off
// to one side.
func TestRangesHoldTheTruth(t *testing.T) {
	t.Parallel()
	l := restLog()
	l.every = 2
	states := l.track(t).Every(l.every)
	const logs, truth = 60, 0.1e-6
	within := 0
	var estimates, errors []float64
	for seed := range uint64(logs) {
		text := l.text(states, rand.New(rand.NewPCG(seed, 40)))
		v := fitOf(t, text, append(leaking("0.3 mm2"), "fit.find=front-shell-leak")...).of(t, "front-shell-leak")
		if v.Low <= truth && truth <= v.High {
			within++
		}
		estimates, errors = append(estimates, v.Estimate), append(errors, v.Error)
	}
	checkRanges(t, within, estimates, errors, truth)
}

// checkRanges holds counts and scatter to what they must be, but for 1 in 1000.
func checkRanges(t *testing.T, within int, estimates, errors []float64, truth float64) {
	t.Helper()
	n := float64(len(estimates))
	hits := distuv.Binomial{N: n, P: 0.95}
	assert.Greater(t, hits.CDF(float64(within)), 5e-4, "%d of %.0f ranges hold the truth", within, n)
	assert.Less(t, hits.CDF(float64(within)-1), 1-5e-4, "%d of %.0f ranges hold the truth", within, n)
	mean, scatter := stat.MeanStdDev(estimates, nil)
	ratio := scatter / stat.Mean(errors, nil)
	spread := distuv.ChiSquared{K: n - 1}
	assert.Greater(t, ratio, math.Sqrt(spread.Quantile(5e-4)/(n-1)), "scatter over standard error")
	assert.Less(t, ratio, math.Sqrt(spread.Quantile(1-5e-4)/(n-1)), "scatter over standard error")
	assert.Less(t, math.Abs(mean-truth)*math.Sqrt(n)/scatter, 3.5, "off to one side")
	t.Logf("%d of %.0f ranges hold the truth; scatter over standard error %.3f; mean %.3f standard errors off", within, n, ratio,
		(mean-truth)/scatter)
}

// The same with presses, a line gauge and five unknowns.
func TestRangesHoldTheTruthWithPresses(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("fits five unknowns to many logs")
	}
	l := pressLog()
	l.line, l.foot = 30e3, 1.3
	states := l.track(t).Every(l.every)
	truth := sim.Typical().Booster
	want := map[string]float64{
		"front-shell-leak": 0.1e-6, "booster.front_volume": float64(truth.FrontVolume), "booster.ratio": float64(truth.Ratio),
		"booster.jump_in": float64(truth.JumpIn),
	}
	const logs = 4
	within, all := 0, 0
	for seed := range uint64(logs) {
		text := l.text(states, rand.New(rand.NewPCG(seed, 41)))
		r := fitOf(t, text, append(leaking("0.3 mm2"), "booster.front_volume=3 L", "booster.ratio=4", "booster.jump_in=500 N")...)
		for name, value := range want {
			v := r.of(t, name)
			if all++; v.Low <= value && value <= v.High {
				within++
			}
		}
	}
	// The unknowns of one log are not apart from each other: as if only half were.
	hits := distuv.Binomial{N: float64(all) / 2, P: 0.95}
	assert.Greater(t, hits.CDF(math.Round(float64(within)/2)), 5e-4, "%d of %d ranges hold the truth", within, all)
	t.Logf("%d of %d ranges hold the truth", within, all)
}

// An unloaded leak-down shows the leak only for the volume that it empties.
func TestLeakAndVolumeAreNotToldApartAtRest(t *testing.T) {
	t.Parallel()
	l := restLog()
	text := l.text(l.track(t).Every(l.every), rand.New(rand.NewPCG(3, 42)))
	r := fitOf(t, text, append(leaking("0.3 mm2"), "fit.find=front-shell-leak,booster.front_volume")...)
	for _, name := range []string{"front-shell-leak", "booster.front_volume"} {
		v := r.of(t, name)
		assert.True(t, v.Indistinguishable, name)
		assert.True(t, math.IsNaN(v.Error), name)
	}
	require.Len(t, r.Indistinguishable, 1)
	b := r.Indistinguishable[0]
	assert.Equal(t, []string{"front-shell-leak", "booster.front_volume"}, b.Unknowns)
	assert.Equal(t, "ratio", b.Shows)
	held := fitOf(t, text, append(leaking("0.3 mm2"), "fit.find=front-shell-leak")...).of(t, "front-shell-leak")
	assert.InEpsilon(t, held.Error/held.Estimate, b.Error/b.Value, 0.1, "what the leak's error is with the volume held")
	words := strings.Join(r.Words(si.SI), "\n")
	assert.Contains(t, words, "This log cannot tell front-shell-leak and booster.front_volume apart: only their ratio shows")
	assert.Contains(t, words, "log a few presses")
	// What shows is the leak over all the volume it empties, of which the rear chamber is a part.
	c := sim.Typical().Booster
	leakRate := func(area, front float64) float64 { return area / (front + float64(c.RearVolume)) }
	got := leakRate(r.of(t, "front-shell-leak").Estimate, r.of(t, "booster.front_volume").Estimate)
	assert.InEpsilon(t, leakRate(0.1e-6, float64(c.FrontVolume)), got, 0.03)
}

// With presses in the log, each of which lets a known amount of air in, they are.
func TestLeakAndVolumeAreToldApartByPresses(t *testing.T) {
	t.Parallel()
	l := pressLog()
	text := l.text(l.track(t).Every(l.every), rand.New(rand.NewPCG(4, 42)))
	r := fitOf(t, text, append(leaking("0.3 mm2"), "booster.front_volume=2.5 L")...)
	assert.Empty(t, r.Indistinguishable)
	assert.True(t, r.Converged)
	for name, truth := range map[string]float64{"front-shell-leak": 0.1e-6, "booster.front_volume": float64(sim.Typical().Booster.FrontVolume)} {
		v := r.of(t, name)
		assert.InDelta(t, truth, v.Estimate, 3.5*v.Error, name)
		assert.Less(t, v.Error, 0.1*truth, name)
	}
	assert.Contains(t, strings.Join(r.Words(si.US), "\n"), "looks like noise")
}

// An unknown that does nothing in the log is said to be silent, and spoils nothing.
func TestALogHasNothingToSayAboutAnIdlePart(t *testing.T) {
	t.Parallel()
	l := restLog()
	text := l.text(l.track(t).Every(l.every), rand.New(rand.NewPCG(5, 42)))
	r := fitOf(t, text, append(leaking("0.3 mm2"), "fit.find=front-shell-leak,booster.ratio")...)
	v := r.of(t, "booster.ratio")
	assert.True(t, v.Silent)
	assert.InDelta(t, 5, v.Estimate, 1e-3, "left where it was")
	found := r.of(t, "front-shell-leak")
	assert.InDelta(t, 0.1e-6, found.Estimate, 3.5*found.Error)
	assert.Contains(t, strings.Join(r.Words(si.SI), "\n"), "booster.ratio: the log has nothing to say about it")
}

// A gauge that does not stand at zero shows where the booster ends up empty.
func TestGaugeOffset(t *testing.T) {
	t.Parallel()
	l := restLog()
	l.car, l.lasts, l.offset = leaking("3 mm2"), 80, 1500
	text := l.text(l.track(t).Every(l.every), rand.New(rand.NewPCG(6, 42)))
	r := fitOf(t, text, "fit.find=front-shell-leak,vacuum-offset")
	for name, truth := range map[string]float64{"front-shell-leak": 3e-6, "vacuum-offset": 1500, StartVacuum: 66.7e3} {
		v := r.of(t, name)
		assert.InDelta(t, truth, v.Estimate, 3.5*v.Error, name)
	}
}

// Misses that go one way for a while are no noise, and are said to be none.
func TestMissesThatAreNoNoise(t *testing.T) {
	t.Parallel()
	l := restLog()
	states := l.track(t).Every(0.2)
	rng := rand.New(rand.NewPCG(7, 42))
	for i := range states {
		states[i].FrontVacuum += si.Vacuum(900 * math.Sin(float64(i)/20))
	}
	r := fitOf(t, l.text(states, rng), append(leaking("0.3 mm2"), "fit.find=front-shell-leak")...)
	g := r.Gauges[0]
	assert.True(t, g.Patterned)
	assert.Greater(t, g.Wider, 2.0)
	assert.Contains(t, strings.Join(r.Words(si.SI), "\n"), "what is left is no noise")
	assert.Empty(t, r.Added, "no cause that is tried makes waves")
}

// A leak that the scenario has not is searched for from any size.
func TestALeakTheScenarioHasNot(t *testing.T) {
	t.Parallel()
	for _, area := range []string{"0.01 mm2", "5 mm2"} {
		l := restLog()
		l.car = leaking(area)
		text := l.text(l.track(t).Every(l.every), rand.New(rand.NewPCG(8, 42)))
		r := fitOf(t, text)
		truth, err := si.ParseAs[si.Area](area)
		require.NoError(t, err)
		v := r.of(t, "front-shell-leak")
		assert.InDelta(t, float64(truth), v.Estimate, 4*v.Error, area)
		assert.True(t, r.Converged)
	}
}

// A sound car has a leak no larger than what the scatter could hide, and one of that size
// would show.
func TestNoLeakShows(t *testing.T) {
	t.Parallel()
	l := restLog()
	l.car = nil
	states := l.track(t).Every(l.every)
	r := fitOf(t, l.text(states, rand.New(rand.NewPCG(13, 42))), "fit.find=front-shell-leak")
	v := r.of(t, "front-shell-leak")
	require.True(t, v.Silent)
	assert.Contains(t, strings.Join(r.Words(si.SI), "\n"), "front-shell-leak: none shows")
	l.car = leaking(fmt.Sprintf("%.4f mm2", 3e6*v.AtMost))
	r = fitOf(t, l.text(l.track(t).Every(l.every), rand.New(rand.NewPCG(14, 42))), "fit.find=front-shell-leak")
	shows := r.of(t, "front-shell-leak")
	assert.False(t, shows.Silent)
	assert.InDelta(t, 3*v.AtMost, shows.Estimate, 3.5*shows.Error)
	t.Logf("at most %.3g mm², three times that found as %.3g ± %.2g", 1e6*v.AtMost, 1e6*shows.Estimate, 1e6*shows.Error)
}

// A search that wants more than the model takes ends at the limit, and says so.
func TestSearchEndsAtALimit(t *testing.T) {
	t.Parallel()
	// Readings of a car with a booster larger than the model's efficiency can stand in for.
	l := pressLog()
	l.car, l.line = append(l.car, "pedal.ratio=6"), 10e3
	text := l.text(l.track(t).Every(l.every), rand.New(rand.NewPCG(9, 42)))
	r := fitOf(t, text, append(leaking("0.1 mm2"), "pedal.efficiency=0.9", "fit.find=pedal.efficiency")...)
	v := r.of(t, "pedal.efficiency")
	assert.True(t, v.AtLimit)
	assert.InDelta(t, 1, v.Estimate, 1e-5)
	assert.Contains(t, strings.Join(r.Words(si.SI), "\n"), "ran to the limit")
}

// The engine running: the vacuum comes back to the source's own.
func TestSourceVacuumWithTheEngineRunning(t *testing.T) {
	t.Parallel()
	s, err := scenario.Builtin("source.vacuum=17 inHg")
	require.NoError(t, err)
	m, err := sim.New(s.Config)
	require.NoError(t, err)
	track, err := m.Run(context.Background(), sim.Schedule{Presses: []sim.Press{{At: 3, Pedal: 120, Press: 0.3, Hold: 1, Release: 0.3}}, Until: 12})
	require.NoError(t, err)
	l := logged{presses: make([]sim.Press, 1), vacuum: 200}
	text := l.text(track.Every(0.1), rand.New(rand.NewPCG(10, 42)))
	r := fitOf(t, text, "source.vacuum=20 inHg", "fit.engine=idle", "fit.find=source.vacuum")
	v := r.of(t, "source.vacuum")
	assert.InDelta(t, 17*si.InchOfMercury, v.Estimate, 3.5*v.Error)
	assert.Less(t, v.Error, 100.0)
}

// What does not go together is named with the log's line.
func TestLogAndScenarioThatDoNotGoTogether(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ log, car, want string }{
		{"time_s,tank_vacuum_kpa\n0,60\n1,60\n2,60\n", "", `test.csv:1: tank_vacuum_kpa: read the vacuum of a tank, want a scenario with a [reservoir]`},
		{"# by hand\ntime_s,vacuum_kpa\n0,105\n1,104\n", "", "test.csv:2: vacuum_kpa: read up to 105 kpa, want less than the ambient pressure of 101.3 kpa"},
		{"time_s,vacuum_kpa,pedal [lbf]\n0,60,20\n1,60,20\n", "", "test.csv:2: pedal [lbf]: read 20 lbf, want a free pedal where the log begins"},
		{"time_s,MAP [inHg]\n0,33\n1,33\n", "", "test.csv:1: MAP [inHg]: read up to 33 inHg, want no more than the ambient pressure of 29.92 inHg"},
		{"time_s,line_kpa\n0,60\n1,59\n", "fit.find=vacuum-lag", "test.csv:1: fit.find: read vacuum-lag, want a column with a vacuum in the log"},
		{"time_s,vacuum_kpa\n0,60\n1,59\n", "fit.find=engine-stops;fit.engine=idle", "want a log that begins with the engine off"},
		{"time_s,vacuum_kpa\n0,60\n1,59\n", "booster.kind=none", "test.csv:1: vacuum_kpa: read a vacuum of a car without a booster, want a line pressure"},
		{"time_s,vacuum_kpa\n0,60\n1,59\n", "", "test.csv:2: rows: read 2, want at least 3 for 2 unknowns"},
		{"time_s,vacuum_kpa\n0,60\n1,59\n", "fit.find=line-offset", "test.csv:1: fit.find: read line-offset, want a column with a line pressure in the log"},
		{"time_s,line_kpa\n0,60\n1,59\n", "fit.find=vacuum-offset", "test.csv:1: fit.find: read vacuum-offset, want a column with a vacuum in the log"},
	} {
		var settings []string
		if c.car != "" {
			settings = strings.Split(c.car, ";")
		}
		s, err := scenario.Builtin(settings...)
		require.NoError(t, err)
		_, err = New(s, readLog(t, c.log))
		var input *scenario.InputError
		if assert.ErrorAs(t, err, &input, c.want) {
			assert.Contains(t, err.Error(), c.want)
		}
	}
}

// plain are the keys of numbers that have no unit; the last ones are of an unknown that
// is a ratio.
var plain = []string{
	"rows", "points", "steps", "correlation", "lag_correlation", "noise_chance", "errors_wider",
	"start", "estimate", "standard_error", "low", "high", "at_most", "logs", "score", "line",
}

// The document has every key with its unit, and null where there is nothing.
func TestFitDocument(t *testing.T) {
	t.Parallel()
	l := restLog()
	text := l.text(l.track(t).Every(l.every), rand.New(rand.NewPCG(11, 42)))
	r := fitOf(t, text, append(leaking("0.3 mm2"), "fit.find=front-shell-leak,booster.ratio")...)
	d := answertest.Decode(t, r, plain...)
	answertest.HasKeys(t, d, "unknowns", "correlation", "indistinguishable", "gauges", "rows", "points", "columns_left_out", "usual_unknowns", "converged", "steps", "engine",
		"logs", "columns_empty", "added", "fault", "outliers", "doubts")
	unknowns := d["unknowns"].([]any)
	answertest.HasKeys(t, unknowns[0].(map[string]any), "unknown", "log", "added", "start_m2", "estimate_m2", "standard_error_m2", "low_m2", "high_m2", "at_most_m2", "asked", "state")
	assert.Nil(t, unknowns[1].(map[string]any)["standard_error"])
	assert.Nil(t, d["correlation"].([]any)[0].([]any)[1])
	answertest.HasKeys(t, d["gauges"].([]any)[0].(map[string]any), "gauge", "place", "rms_pa", "scatter_pa", "noise_pa", "lag_correlation", "noise_chance", "patterned", "errors_wider")
}

// The pedal's course keeps its corners and is not bent by the scatter of its readings.
func TestPedalCourse(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(12, 42))
	var text strings.Builder
	text.WriteString("time_s,vacuum_kpa,pedal_n\n")
	truth := []breakpoint{{0, 0}, {5, 0}, {5.5, 150}, {8, 150}, {8.5, 0}, {20, 0}}
	k := 0
	for i := range 401 {
		at := float64(i) / 20
		for k < len(truth)-2 && at > truth[k+1].at {
			k++
		}
		fmt.Fprintf(&text, "%g,60,%.3f\n", at, onLine(truth[k], truth[k+1], at)+1.5*rng.NormFloat64())
	}
	l := readLog(t, text.String())
	course, scatter := courseOf(l, l.Column(gaugelog.Pedal), float64(l.From()))
	assert.InDelta(t, 1.5, scatter, 0.25)
	assert.Less(t, len(course), 14)
	k = 0
	for i := range 401 {
		at := float64(i) / 20
		for k < len(course)-2 && at > course[k+1].at {
			k++
		}
		if (at > 0.5 && at < 4.8) || (at > 5.7 && at < 7.8) || at > 8.7 {
			level := 0.0
			if at > 5 && at < 8 {
				level = 150
			}
			assert.InDelta(t, level, onLine(course[k], course[k+1], at), 2.0, "at %g s", at)
		}
	}
}

// The shipped log gives the figures that it was made with.
func TestShippedLog(t *testing.T) {
	t.Parallel()
	s, err := scenario.Open("../../scenarios/gauge-log.toml", nil)
	require.NoError(t, err)
	text, err := os.ReadFile("../../scenarios/gauge-log.csv")
	require.NoError(t, err)
	f, err := New(s, readLog(t, string(text)))
	require.NoError(t, err)
	r, err := f.Solve(context.Background(), nil)
	require.NoError(t, err)
	assert.True(t, r.Converged)
	for name, truth := range map[string]float64{
		"front-shell-leak": 0.1e-6, "booster.front_volume": 3.3e-3, "booster.ratio": 4.5, "booster.jump_in": 600,
	} {
		v := r.of(t, name)
		assert.InDelta(t, truth, v.Estimate, 3.5*v.Error, name)
		assert.Less(t, v.Error, 0.15*truth, name)
	}
	for _, g := range r.Gauges {
		assert.False(t, g.Patterned, g.Gauge)
	}
}
