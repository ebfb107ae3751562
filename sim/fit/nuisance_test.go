package fit

import (
	"context"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

var nuisanceLogs = flag.Int("logs", 1, "how many logs of each nuisance are fitted")

// A bench writes logs of its own: the model is shared with the fit, and nothing else. What a
// gauge does to the course of things is worked out here, on a grid of 5 ms.
type bench struct {
	car     []string
	engine  float64                          // seconds that it still runs
	gauge   func(vacuum []float64) []float64 // what it makes of the course
	spoiled func(rng *rand.Rand, row int, v float64) float64
	line    bool
}

const (
	benchGrid  = 0.005
	benchEvery = 0.1
	benchLasts = 24.0
	benchNoise = 200.0 // Pa
	lineNoise  = 30e3
	footNoise  = 1.0
)

func (b bench) states(t *testing.T) []sim.State {
	t.Helper()
	s, err := scenario.Builtin(b.car...)
	require.NoError(t, err)
	m, err := sim.New(s.Config)
	require.NoError(t, err)
	session := m.Start()
	ctx := context.Background()
	if b.engine > 0 {
		require.NoError(t, session.Settle(ctx, sim.EngineIdle))
	}
	if b.engine == 0 {
		session.Fill(64e3)
	}
	session.Record()
	for _, p := range []sim.Press{{At: 4, Pedal: 70, Press: 0.3, Hold: 1.5, Release: 0.3}, {At: 9, Pedal: 130, Press: 0.4, Hold: 1.5, Release: 0.4},
		{At: 14, Pedal: 180, Press: 0.4, Hold: 1.5, Release: 0.4}, {At: 18, Pedal: 100, Press: 0.3, Hold: 1, Release: 0.3}} {
		session.Plan(p)
	}
	if b.engine > 0 {
		require.NoError(t, session.AdvanceTo(ctx, si.Time(b.engine)))
		session.Engine(sim.EngineOff)
	}
	require.NoError(t, session.AdvanceTo(ctx, benchLasts))
	return session.Trajectory().Every(benchGrid)
}

func (b bench) log(states []sim.State, rng *rand.Rand) string {
	vacuum := make([]float64, len(states))
	for i, s := range states {
		vacuum[i] = float64(s.FrontVacuum)
	}
	if b.gauge != nil {
		vacuum = b.gauge(vacuum)
	}
	var out strings.Builder
	out.WriteString("time_s,vacuum_pa,pedal_n")
	if b.line {
		out.WriteString(",line_pa")
	}
	step := int(math.Round(benchEvery / benchGrid))
	for i := 0; i < len(states); i += step {
		v := vacuum[i] + benchNoise*rng.NormFloat64()
		if b.spoiled != nil {
			v = b.spoiled(rng, i/step, v)
		}
		fmt.Fprintf(&out, "\n%.3f,%.1f,%.2f", float64(i)*benchGrid, v, float64(states[i].Pedal)+footNoise*rng.NormFloat64())
		if b.line {
			fmt.Fprintf(&out, ",%.0f", float64(states[i].Line)+lineNoise*rng.NormFloat64())
		}
	}
	return out.String()
}

const benchLeak, benchVolume = 0.3e-6, 2.6e-3

func benchCar(more ...string) []string {
	return append([]string{"fault[0].name=front-shell-leak", "fault[0].area=0.3 mm2", "booster.front_volume=2.6 L", "booster.rear_volume=0.6 L"}, more...)
}

// late shows the course a while later, slow follows it by small steps of a first-order lag,
// and stretched shows it by another clock.
func late(by float64) func([]float64) []float64 {
	return func(v []float64) []float64 {
		n := int(math.Round(by / benchGrid))
		return append(slices.Repeat(v[:1], n), v[:len(v)-n]...)
	}
}

func slow(tau float64) func([]float64) []float64 {
	return func(v []float64) []float64 {
		out := slices.Clone(v)
		const parts = 10
		y := v[0]
		for i := 1; i < len(v); i++ {
			for k := range parts {
				x := v[i-1] + (v[i]-v[i-1])*(float64(k)+0.5)/parts
				y += (x - y) * benchGrid / parts / tau
			}
			out[i] = y
		}
		return out
	}
}

func stretched(share float64) func([]float64) []float64 {
	return func(v []float64) []float64 {
		out := slices.Clone(v)
		for i := range out {
			at := float64(i) / (1 + share)
			k := min(int(at), len(v)-2)
			out[i] = v[k] + (at-float64(k))*(v[k+1]-v[k])
		}
		return out
	}
}

// What spoils a log is found by the program itself (in the first two logs of each kind; it is
// asked for in all others, which is quicker), and the truth lies in the ranges as often as it
// should: of leak, volume and what spoils it.
func TestNuisancesAreFound(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("fits many logs with causes that have to be found")
	}
	dropout := func(rng *rand.Rand, _ int, v float64) float64 {
		if rng.Float64() < 0.02 {
			return 0
		}
		return v
	}
	for _, c := range []struct {
		name  string
		bench bench
		adds  string
		truth float64
	}{
		{"nothing", bench{car: benchCar()}, "", 0},
		{"a gauge 0.4 s late", bench{car: benchCar(), gauge: late(0.4)}, scenario.VacuumDelay, 0.4},
		{"a gauge that follows in 0.5 s", bench{car: benchCar(), gauge: slow(0.5)}, scenario.VacuumLag, 0.5},
		{"a clock 3 % fast", bench{car: benchCar(), gauge: stretched(0.03)}, scenario.VacuumClock, 0.03},
		{"a gauge that reads 2 kPa too much", bench{car: benchCar("fault[0].area=6 mm2"), gauge: func(v []float64) []float64 {
			out := slices.Clone(v)
			for i := range out {
				out[i] += 2000
			}
			return out
		}}, scenario.VacuumOffset, 2000},
		{"dropouts", bench{car: benchCar(), spoiled: dropout}, "", 0},
		{"lines twice as soft", bench{car: benchCar("circuit.front.compliance=0.42 cm3/MPa"), line: true}, "circuit.front.compliance", 0.42e-12},
		{"an engine that ran for 2 s", bench{car: benchCar("source.vacuum=19 inHg"), engine: 2}, scenario.EngineStops, 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			states := c.bench.states(t)
			leak := benchLeak
			if c.adds == scenario.VacuumOffset {
				leak = 6e-6
			}
			found, all := 0, 0
			within := map[string]int{"front-shell-leak": 0, "booster.front_volume": 0}
			if c.adds != "" {
				within[c.adds] = 0
			}
			for seed := range uint64(*nuisanceLogs) {
				text := c.bench.log(states, rand.New(rand.NewPCG(seed, 77)))
				find := benchFind
				searched := seed < 2
				if !searched && c.adds != "" {
					find += "," + c.adds
				}
				if !searched && c.adds == scenario.EngineStops {
					find += ",source.vacuum"
				}
				r := fitOf(t, text, "booster.rear_volume=0.6 L", find)
				all++
				want := map[string]float64{"front-shell-leak": leak, "booster.front_volume": benchVolume}
				if c.adds != "" {
					want[c.adds] = c.truth
				}
				if len(r.Added) == 0 && (c.adds == "" || !searched) || searched && len(r.Added) == 1 && r.Added[0].Found[0].Name == c.adds {
					found++
				} else {
					t.Log(strings.Join(r.Words(si.SI), "\n"))
				}
				for name, truth := range want {
					for i := range r.Unknowns {
						if v := &r.Unknowns[i]; v.Name == name && v.Low <= truth && truth <= v.High {
							within[name]++
						}
					}
				}
				if c.bench.spoiled != nil {
					assert.NotEmpty(t, r.Outliers)
				}
			}
			t.Logf("%s: nothing but that found in %d of %d; 95 %% ranges that hold the truth: %v", c.name, found, all, within)
			assert.GreaterOrEqual(t, float64(found), 0.9*float64(all))
			for name, hits := range within {
				chance := distuv.Binomial{N: float64(all), P: 0.95}.CDF(float64(hits))
				assert.Greater(t, chance, 1e-4, "%s: %d of %d ranges hold the truth", name, hits, all)
			}
		})
	}
}
