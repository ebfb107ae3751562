package web

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/scenarios"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
	"kneepoint/sim/study"
)

func starterScenario(t testing.TB, name string) *scenario.Scenario {
	t.Helper()
	text, err := scenarios.Read(name)
	require.NoError(t, err)
	s, err := scenario.Read(bytes.NewReader(text), name+".toml")
	require.NoError(t, err)
	return s
}

// direct is a car driven by the model alone.
type direct struct {
	t       testing.TB
	session *sim.Session
	engine  sim.EngineState
}

func newDirect(t testing.TB, c sim.Config) *direct {
	t.Helper()
	m, err := sim.New(c)
	require.NoError(t, err)
	d := &direct{t: t, session: m.Start(), engine: sim.EngineIdle}
	require.NoError(t, d.session.Settle(context.Background(), sim.EngineIdle))
	return d
}

func (d *direct) step(in stepRequest) sim.State {
	d.t.Helper()
	if in.Engine != d.engine {
		d.session.Engine(in.Engine)
		d.engine = in.Engine
	}
	d.session.Pedal(in.Pedal, in.Dt)
	require.NoError(d.t, d.session.Advance(context.Background(), in.Dt))
	return d.session.State()
}

// drill presses, holds, releases and turns the engine off, in uneven steps.
func drill() []stepRequest {
	var all []stepRequest
	for i := range 400 {
		in := stepRequest{Dt: si.Time(0.012 + 0.003*float64(i%4)), Engine: sim.EngineIdle}
		switch k := i % 100; {
		case k < 20:
			in.Pedal = si.Force(12 * k)
		case k < 70:
			in.Pedal = 240
		}
		if i >= 150 {
			in.Engine = sim.EngineOff
		}
		if i >= 330 {
			in.Engine = sim.EngineOverrun
		}
		all = append(all, in)
	}
	return all
}

func body(t testing.TB, v any) string {
	t.Helper()
	text, err := json.Marshal(v)
	require.NoError(t, err)
	return string(text)
}

// What the page gets is what the model gives with the same inputs.
func TestFramesAreTheModels(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"stock-ten-inch", "big-cam-reservoir", "big-cam-pump", "single-circuit", "manual-pedal", "bench-tandem"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := starterScenario(t, name)
			c := newClient(t, s)
			path, _ := c.create("{}")
			boosted, manual := newDirect(t, s.Config), newDirect(t, study.Manual(s))
			for i, in := range drill() {
				var f frameSeen
				c.post(path+"/step", body(t, in), http.StatusOK, &f)
				want := boosted.step(in)
				in.Engine = sim.EngineIdle // a manual pedal knows no engine
				bare := manual.step(in)
				for key, v := range map[string]float64{
					"time_s": float64(want.Time), "pedal_n": float64(want.Pedal), "output_n": float64(want.Output),
					"line_front_pa": float64(want.LineFront), "line_rear_pa": float64(want.LineRear),
					"front_vacuum_pa": float64(want.FrontVacuum), "working_vacuum_pa": float64(want.WorkingVacuum),
					"reservoir_vacuum_pa": float64(want.ReservoirVacuum), "manifold_vacuum_pa": float64(want.ManifoldVacuum),
					"hub_m": float64(want.Hub), "plunger_m": float64(want.Plunger), "piston_m": float64(want.Piston),
					"floater_m": float64(want.Floater), "air_open": float64(want.AirOpen), "vacuum_open": float64(want.VacuumOpen),
					"air_flow_kgps": float64(want.AirFlow), "inner_flow_kgps": float64(want.InnerFlow),
					"check_flow_kgps": float64(want.CheckFlow), "hose_flow_kgps": float64(want.HoseFlow), "pump_flow_kgps": float64(want.PumpFlow),
				} {
					got, ok := f[key]
					require.True(t, ok, key)
					if math.IsNaN(v) {
						require.Nil(t, got, "%s in step %d", key, i)
						continue
					}
					// Decimal digits of a JSON number give the same number back.
					require.Equal(t, v, got, "%s in step %d", key, i)
				}
				beside, _ := f["manual"].(map[string]any)
				require.Equal(t, float64(bare.LineFront), beside["line_front_pa"], "step %d", i)
			}
		})
	}
}

func TestStepsOutOfBoundsAreRefused(t *testing.T) {
	t.Parallel()
	c := newClient(t, nil)
	path, _ := c.create("{}")
	for _, bad := range []string{
		``, `null`, `[]`, `{`, `{}`, `"x"`,
		`{"dt_s":0,"pedal_n":10,"engine":"idle"}`, `{"dt_s":-1,"pedal_n":10,"engine":"idle"}`,
		`{"dt_s":3600,"pedal_n":10,"engine":"idle"}`, `{"dt_s":1e999,"pedal_n":10,"engine":"idle"}`,
		`{"dt_s":0.02,"pedal_n":-1,"engine":"idle"}`, `{"dt_s":0.02,"pedal_n":1e6,"engine":"idle"}`,
		`{"dt_s":0.02,"pedal_n":"10","engine":"idle"}`, `{"dt_s":0.02,"pedal_n":10,"engine":"snap"}`,
		`{"dt_s":0.02,"pedal_n":10}`, `{"dt_s":0.02,"pedal_n":10,"engine":"idle","more":1}`,
		`{"dt_s":0.02,"pedal_n":10,"engine":"idle"} {}`,
	} {
		var no refusal
		c.post(path+"/step", bad, http.StatusBadRequest, &no)
		assert.NotEmpty(t, no.Error, bad)
	}
	var f frameSeen
	c.post(path+"/step", `{"dt_s":0.02,"pedal_n":10,"engine":"idle"}`, http.StatusOK, &f)
	assert.Equal(t, 0.02, f.number("time_s"), "nothing before had moved the car")
}

func TestBodiesAreLimited(t *testing.T) {
	t.Parallel()
	c := newClient(t, nil)
	path, _ := c.create("{}")
	large := func(n int) string { return `{"name":"a.toml","text":"` + string(bytes.Repeat([]byte("#"), n)) + `"}` }
	c.post(path+"/step", large(mostSmallBody), http.StatusRequestEntityTooLarge, nil)
	c.post(path+"/open", large(mostDocumentBody), http.StatusRequestEntityTooLarge, nil)
	c.post("/api/drives", large(mostDocumentBody), http.StatusRequestEntityTooLarge, nil)
	// A document over 1 MiB that still fits into the body is the decoder's to refuse.
	var no refusal
	c.post(path+"/open", large(1<<20+1), http.StatusUnprocessableEntity, &no)
	assert.Contains(t, no.Problems[0], "1 MiB")
}

func TestResetIsTheSettledCar(t *testing.T) {
	t.Parallel()
	c := newClient(t, nil)
	path, car := c.create("{}")
	for range 30 {
		c.post(path+"/step", `{"dt_s":0.05,"pedal_n":200,"engine":"off"}`, http.StatusOK, nil)
	}
	var f frameSeen
	c.post(path+"/reset", "{}", http.StatusOK, &f)
	assert.Equal(t, car.Frame["front_vacuum_pa"], f["front_vacuum_pa"])
	assert.Zero(t, f.number("time_s"))
	assert.Equal(t, "idle", f["engine"])
}

// Stops count from the engine's going off, one for each press and release.
func TestStopsAreCounted(t *testing.T) {
	t.Parallel()
	s := starterScenario(t, "stock-ten-inch")
	c := newClient(t, s)
	path, _ := c.create("{}")
	var study reserveReply
	c.get(path+"/reserve", http.StatusOK, &study)
	require.Positive(t, study.HeavyStops)

	var f frameSeen
	press := func(engine string) {
		for _, force := range []float64{100, 100, 100, 0, 0} {
			for range 8 {
				c.post(path+"/step", fmt.Sprintf(`{"dt_s":0.1,"pedal_n":%g,"engine":%q}`, force, engine), http.StatusOK, &f)
			}
		}
	}
	press("idle")
	assert.Zero(t, f.number("stops_made"), "the engine runs")
	for i := 1; i <= study.HeavyStops+1; i++ {
		press("off")
		assert.Equal(t, float64(i), f.number("stops_made"))
		left, _ := f["stops_left"].(map[string]any)
		assert.Equal(t, float64(max(0, study.HeavyStops-i)), left["stops"], "after %d of %d", i, study.HeavyStops)
	}
}

// The series that is asked for is the study's own, with the engine off.
func TestReserveIsTheStudys(t *testing.T) {
	t.Parallel()
	s := starterScenario(t, "stock-ten-inch")
	want, err := study.Reserve(context.Background(), s, nil)
	require.NoError(t, err)
	c := newClient(t, s)
	path, _ := c.create("{}")
	var got reserveReply
	c.get(path+"/reserve", http.StatusOK, &got)
	assert.Equal(t, want.HeavyStops, got.HeavyStops)
	assert.Equal(t, len(want.Stops), len(got.Stops))
	assert.Equal(t, want.Stops[1].VacuumBefore, got.Stops[1].VacuumBefore)

	curve, err := study.Curve(context.Background(), s, study.CurveOptions{})
	require.NoError(t, err)
	var drawn curveReply
	c.get(path+"/curve", http.StatusOK, &drawn)
	assert.Equal(t, curve.Curves[0].Knee.Pedal, drawn.Knee.Pedal)
	assert.Equal(t, curve.Curves[0].Knee.Line, drawn.Knee.Line)
	assert.Len(t, drawn.Press, len(curve.Curves[0].Points)/2)
}

// A cancelled page's study ends with it.
func TestStudyEndsWithItsRequest(t *testing.T) {
	t.Parallel()
	c := newClient(t, nil)
	path, _ := c.create("{}")
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	w := c.do(newRequest(http.MethodGet, path+"/reserve", "").WithContext(ctx))
	assert.Equal(t, http.StatusServiceUnavailable, w.Code)
}

// The page says of a hard stop what curve says, in both systems of units.
func TestHardStopIsTheStudys(t *testing.T) {
	t.Parallel()
	s := starterScenario(t, "big-cam-nine")
	want, err := study.Curve(context.Background(), s, study.CurveOptions{})
	require.NoError(t, err)
	c := newClient(t, s)
	path, _ := c.create("{}")
	var got struct {
		HardStop struct {
			Pedal        float64 `json:"pedal_n"`
			Deceleration float64 `json:"deceleration_mps2"`
			LimitedBy    string  `json:"limited_by"`
		} `json:"hard_stop"`
		Verdict map[string]string `json:"verdict"`
	}
	c.get(path+"/curve", http.StatusOK, &got)
	hard := want.Curves[0].HardStop
	assert.Equal(t, float64(hard.Pedal.Value()), got.HardStop.Pedal)
	assert.Equal(t, float64(hard.Deceleration.Value()), got.HardStop.Deceleration)
	assert.Equal(t, "front", got.HardStop.LimitedBy)
	for _, u := range []si.System{si.US, si.SI} {
		assert.Equal(t, want.Curves[0].Verdict(u), got.Verdict[u.String()])
	}
}
