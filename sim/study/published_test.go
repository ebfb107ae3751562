package study

import (
	"context"
	"fmt"
	"os"
	"testing"

	"github.com/pelletier/go-toml/v2"
	"github.com/stretchr/testify/require"

	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// published is testdata/published.toml: what the world outside says.
type published struct {
	LinePressure   []linePressureTable `toml:"line_pressure"`
	LeakDown       leakDownLimit       `toml:"leak_down"`
	OneApplication struct {
		quoted
		Pedal forceText `toml:"pedal"`
	} `toml:"one_application"`
	VacuumLeft struct {
		quoted
		Share float64 `toml:"share"`
	} `toml:"vacuum_left"`
	Recharge struct {
		quoted
		WarningEnds  timeText `toml:"warning_ends"`
		WorkingLevel timeText `toml:"working_level"`
	} `toml:"recharge"`
	IdleVacuum struct {
		quoted
		From      vacuumText `toml:"wanted_from"`
		To        vacuumText `toml:"wanted_to"`
		HardBelow vacuumText `toml:"hard_pedal_below"`
	} `toml:"idle_vacuum"`
	Effort struct {
		quoted
		EasyTo  forceText `toml:"easy_to"`
		HeavyTo forceText `toml:"heavy_to"`
	} `toml:"effort"`
	HardStop struct {
		quoted
		From pressureText `toml:"line_from"`
		To   pressureText `toml:"line_to"`
	} `toml:"hard_stop"`
	StopsLeft struct {
		quoted
		Vacuum vacuumText `toml:"vacuum"`
		From   int        `toml:"from"`
		To     int        `toml:"to"`
	} `toml:"stops_left"`
	BoosterVolumes struct {
		quoted
		Area  areaText   `toml:"area"`
		Front volumeText `toml:"front"`
		Rear  volumeText `toml:"rear"`
	} `toml:"booster_volumes"`
	Tandem struct {
		quoted
		Pair  []lengthText `toml:"pair"`
		About lengthText   `toml:"about"`
	} `toml:"tandem"`
}

// quoted is where a figure was found.
type quoted struct {
	Source string `toml:"source"`
	Trust  string `toml:"trust"`
}

type linePressureTable struct {
	quoted
	Name     string            `toml:"name"`
	Scenario string            `toml:"scenario"`
	Rows     []linePressureRow `toml:"rows"`
}

// linePressureRow has no High where only a lowest value is published.
type linePressureRow struct {
	Vacuum vacuumText    `toml:"vacuum"`
	Pedal  forceText     `toml:"pedal"`
	Low    pressureText  `toml:"low"`
	High   *pressureText `toml:"high"`
}

type leakDownLimit struct {
	quoted
	Start  vacuumText  `toml:"start"`
	Lasts  timeText    `toml:"lasts"`
	Drop   vacuumText  `toml:"drop"`
	Pedals []forceText `toml:"pedals"`
}

// text is a quantity written with its unit.
type text[T si.Quantity] struct{ is T }

func (q *text[T]) UnmarshalText(b []byte) (err error) {
	q.is, err = si.ParseAs[T](string(b))
	return err
}

type (
	forceText    = text[si.Force]
	vacuumText   = text[si.Vacuum]
	pressureText = text[si.Pressure]
	timeText     = text[si.Time]
	lengthText   = text[si.Length]
	areaText     = text[si.Area]
	volumeText   = text[si.Volume]
)

func publishedFigures(t testing.TB) *published {
	t.Helper()
	data, err := os.ReadFile("../../testdata/published.toml")
	require.NoError(t, err)
	p := &published{}
	require.NoError(t, toml.Unmarshal(data, p))
	return p
}

func TestEveryPublishedFigureHasASource(t *testing.T) {
	data, err := os.ReadFile("../../testdata/published.toml")
	require.NoError(t, err)
	var document map[string]any
	require.NoError(t, toml.Unmarshal(data, &document))
	trusts := []string{"published text", "secondary copy", "from memory", "common practice, no source"}
	for name, entry := range document {
		tables, ok := entry.([]any)
		if !ok {
			tables = []any{entry}
		}
		for _, x := range tables {
			table := x.(map[string]any)
			require.NotEmpty(t, table["source"], name)
			require.Contains(t, trusts, table["trust"], name)
		}
	}
}

// garage returns a shipped scenario with flags over it.
func garage(t testing.TB, name string, flags ...string) *scenario.Scenario {
	t.Helper()
	s, err := scenario.Open("../../scenarios/"+name+".toml", nil, flags...)
	require.NoError(t, err)
	return s
}

// typical returns the built-in car with flags over it.
func typical(t testing.TB, flags ...string) *scenario.Scenario {
	t.Helper()
	s, err := scenario.Builtin(flags...)
	require.NoError(t, err)
	return s
}

// flag writes a value in SI as a flag.
func flag[T si.Quantity](path string, v T) string {
	units := map[si.Dimension]string{
		si.DimVacuum: "Pa", si.DimPressure: "Pa", si.DimForce: "N", si.DimLength: "m", si.DimVolume: "m3",
		si.DimTime: "s", si.DimArea: "m2", si.DimAcceleration: "m/s2", si.DimRatio: "",
	}
	return fmt.Sprintf("%s=%.12g %s", path, float64(v), units[v.Dimension()])
}

func curveOf(t testing.TB, s *scenario.Scenario) *ForceCurve {
	t.Helper()
	r, err := Curve(context.Background(), s, CurveOptions{})
	require.NoError(t, err)
	require.Len(t, r.Curves, 1)
	return &r.Curves[0]
}

func reserveOf(t testing.TB, s *scenario.Scenario) *ReserveResult {
	t.Helper()
	r, err := Reserve(context.Background(), s, nil)
	require.NoError(t, err)
	require.Len(t, r.Stops, s.Reserve.Stops)
	return r
}

// bottomed says that the master cylinder's piston came to the end of its stroke.
func bottomed(c *sim.Config, f *ForceCurve) bool {
	return float64(f.pressingFine[len(f.pressingFine)-1].Piston) > 0.98*float64(c.Master.Stroke)
}

// lineAt returns the line pressure at a pedal force on the pressing branch.
func (f *ForceCurve) lineAt(pedal si.Force) answer.Optional[si.Pressure] {
	return answer.Of(si.Pressure(where(f.pressingFine, pedalOf, lineOf, float64(pedal))))
}

// held presses a settled session by its engine and returns the state at the end
// of the hold; the session stands there.
func held(t testing.TB, s *sim.Session, force si.Force, hold si.Time) sim.State {
	t.Helper()
	s.Pedal(force, 0.3)
	require.NoError(t, s.Advance(context.Background(), 0.3+hold))
	return s.State()
}

// settledAt opens a session that has settled with its source on.
func settledAt(t testing.TB, c sim.Config) *sim.Session {
	t.Helper()
	m, err := sim.New(c)
	require.NoError(t, err)
	s := m.Start()
	require.NoError(t, s.Settle(context.Background(), sim.EngineIdle))
	return s
}

func kPa(v si.Vacuum) float64   { return float64(v) / 1e3 }
func MPa(p si.Pressure) float64 { return float64(p) / 1e6 }
