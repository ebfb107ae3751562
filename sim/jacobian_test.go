package sim

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/ode"
	"kneepoint/sim/si"
)

// variants are cars that between them have every store and every link.
func variants() map[string]Config {
	with := func(change func(*Config)) Config {
		c := Typical()
		change(&c)
		return c
	}
	leaking := func(c *Config) {
		for _, name := range []FaultName{FaultCheckValveLeak, FaultHoseLeak, FaultFrontShellLeak, FaultDiaphragmTorn, FaultAirSeatLeak, FaultVacuumSeatLeak} {
			c.Faults = append(c.Faults, Fault{Name: name, Area: 0.5e-6})
		}
	}
	return map[string]Config{
		"engine, dual":   Typical(),
		"engine, single": with(func(c *Config) { c.Master.Circuits = MasterSingle }),
		"bench": with(func(c *Config) {
			c.Source = Source{Kind: SourceBench, Vacuum: 66.7e3, MeasuredPressure: c.Ambient.Pressure, IdleSpeed: 10, OverrunSpeed: 40, Displacement: 5e-3, Compression: 9, ManifoldVolume: 5e-3}
		}),
		"tank before the check valve": with(func(c *Config) {
			c.Reservoir = Reservoir{Volume: 2e-3, Place: PlaceEngineSide}
		}),
		"tank with a valve of its own": with(func(c *Config) {
			c.Reservoir = Reservoir{Volume: 2e-3, Place: PlaceEngineSide, InletValve: true}
		}),
		"tank behind the check valve": with(func(c *Config) {
			c.Reservoir = Reservoir{Volume: 2e-3, Place: PlaceBoosterSide}
		}),
		"pump": with(func(c *Config) {
			c.Source.Vacuum = 8 * inHg
			c.Pump = Pump{FreeFlow: 25 * si.Litre / si.Minute, On: 14 * inHg, Off: 20 * inHg, EngineOff: true}
		}),
		"manual":         with(func(c *Config) { c.Booster.Kind = BoosterNone; c.Pedal.Ratio = 6 }),
		"leaks":          with(leaking),
		"air in circuit": with(func(c *Config) { c.Faults = []Fault{{Name: FaultAirInCircuit, Severity: 0.4}} }),
		"circuit lost":   with(func(c *Config) { c.Front.Lost = true }),
		"valves in the lines, wet road": with(func(c *Config) {
			c.Car.HoldOff, c.Car.SplitPressure, c.Car.SplitSlope, c.Car.Adhesion, c.Car.SlidingAdhesion = 0.6e6, 1.5e6, 0.4, 0.45, 0.4
		}),
		"tandem": with(func(c *Config) { c.Booster = BoosterOf(0.205, 0.230) }),
		"seeping, port covered": with(func(c *Config) {
			c.Faults = []Fault{{Name: FaultMasterBypass, Severity: 0.7}, {Name: FaultReturnPortCovered, Severity: 0.4}}
		}),
		"seeping, single": with(func(c *Config) {
			c.Master.Circuits = MasterSingle
			c.Faults = []Fault{{Name: FaultOutsideLeak, Severity: 0.6}}
		}),
		"hose closed inside": with(func(c *Config) { c.Faults = []Fault{{Name: FaultHoseBlocked, Severity: 0.6}} }),
		"line blocked, check valve sticks": with(func(c *Config) {
			c.Faults = []Fault{{Name: FaultLineBlocked, Severity: 0.3}, {Name: FaultCheckValveStuck, Severity: 0.5}}
		}),
	}
}

// everything is a drive with jabs, pushes beyond the knee, a driver who seeks,
// and every state of the engine.
func everything() Schedule {
	return Schedule{
		Presses: []Press{
			{At: 1, Pedal: 60, Press: 0.3, Hold: 1, Release: 0.3},
			{At: 4, Pedal: 700, Press: 0.05, Hold: 1, Release: 0.05},
			{At: 8, Pedal: 500, Deceleration: 4, Press: 0.3, Hold: 2, Release: 0.3},
			{At: 13, Pedal: 250, Press: 2, Hold: 1, Release: 1},
			{At: 19, Pedal: 120, Press: 0.3, Hold: 1, Release: 0.3},
		},
		Events: []Event{{3, EngineOverrun}, {6, EngineSnap}, {10, EngineCruise}, {12, EngineIdle}, {14, EngineOff}},
		Until:  22,
	}
}

// TestJacobianMatchesDifferences compares the analytic Jacobian, built from the
// parts' own derivatives, with central differences at the end of every accepted
// step of whole runs.
func TestJacobianMatchesDifferences(t *testing.T) {
	for name, c := range variants() {
		t.Run(name, func(t *testing.T) {
			m, err := New(c)
			require.NoError(t, err)
			run, err := m.Run(context.Background(), everything())
			require.NoError(t, err)
			p := m.plant
			scale := steps(p.net)
			worst, atTime, at := 0.0, 0.0, [2]int{}
			y := make([]float64, p.net.Size())
			count, left := 0, 0
			for k, span := range run.spans {
				last := len(run.segments)
				if k+1 < len(run.spans) {
					last = run.spans[k+1].first
				}
				p.in = span.in
				for _, seg := range run.segments[span.first:last] {
					seg.At(seg.T1, y)
					if atBrakeCorner(p, y) || atTurn(p, seg.T1, y) {
						left++
						continue
					}
					dev, where, err := ode.CheckJacobian(p.net, seg.T1, y, scale)
					require.NoError(t, err, "t = %g", seg.T1)
					count++
					if dev > worst {
						worst, atTime, at = dev, seg.T1, where
					}
				}
			}
			by := "time"
			if at[1] >= 0 {
				by = p.net.names[at[1]]
			}
			t.Logf("%d states at %d points, %d left out at corners: worst %.2g, %s by %s at %.4f s", p.net.Size(), count, left, worst, p.net.names[at[0]], by, atTime)
			assert.Less(t, worst, 1e-4)
			assert.Greater(t, count, 500)
		})
	}
}

// atBrakeCorner says that an axle's brake is about to grip: the deceleration that
// a driver seeks has a corner there, with a slope on either side and none at it.
func atBrakeCorner(p *plant, y []float64) bool {
	if p.in.seek == nil {
		return false
	}
	for _, c := range p.circuits {
		if line, _ := c.pressure(y[c.volume]); !c.lost && math.Abs(line) < 100 {
			return true
		}
	}
	return false
}

// atTurn says that air is about to turn round between two gases that differ in
// temperature: the flow has a corner where the other side becomes upstream.
func atTurn(p *plant, t float64, y []float64) bool {
	p.net.observe(t, y)
	sig := p.net.sig
	for _, l := range p.net.links {
		l, is := l.(*passage)
		if is && l.c.value(sig) > 0 && math.Abs(sig[l.a.p]-sig[l.b.p]) < 0.05 && math.Abs(sig[l.a.t]-sig[l.b.t]) > 1e-3 {
			return true
		}
	}
	return false
}

// steps are the sizes of which a difference quotient takes a small share: those of the
// error weights, but narrower where the rates bend within them.
func steps(n *network) []float64 {
	narrow := map[string]float64{"travel": 1e-3, "speed": 1, "volume": 1e-7}
	scales := slices.Clone(n.scales)
	for i, name := range n.names {
		if most, bends := narrow[name[strings.LastIndexByte(name, ' ')+1:]]; bends {
			scales[i] = min(scales[i], most)
		}
	}
	return scales
}
