package study

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/rootfind"
	"kneepoint/internal/verdict"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// The force for a demand, found from a forecast in a few presses, is that of halving.
func TestNeededForceIsThatOfHalving(t *testing.T) {
	t.Parallel()
	const finely = 0.01 // N
	ctx := context.Background()
	presses, reached := 0, 0
	for seed := range uint64(40) {
		s := oneCar(t, seed)
		car, err := park(ctx, s.Config)
		require.NoError(t, err)
		d, err := newDriver(ctx, car, s.Reserve)
		require.NoError(t, err)
		lock := verdict.RoadOf(&s.Config).FirstLock()
		counted := pressing(lock.Line.Value())
		of := counted.of
		line := func(f float64) float64 {
			held, err := press(ctx, d.session.Fork(), d.set, si.Force(f))
			require.NoError(t, err)
			return of(held)
		}
		tries := presses
		counted.of = countingPresses(of, &tries)
		n, err := need(ctx, d.session, d.set, counted)
		require.NoError(t, err)
		if !n.Force.Exists() {
			if n.missing == byForce {
				assert.Less(t, line(float64(verdict.HardestPedal)), counted.level, "car %d", seed)
			}
			continue
		}
		reached, presses = reached+1, tries
		slow, err := rootfind.Least(0, float64(verdict.HardestPedal), finely, func(f float64) (bool, error) { return line(f) >= counted.level, nil })
		require.NoError(t, err)
		fast := float64(n.Force.Value())
		assert.GreaterOrEqual(t, fast, slow-2*finely, "car %d", seed)
		assert.True(t, fast <= slow+forceWithin+2*finely || line(fast) <= counted.level*(1+demandWithin), "car %d: %.3f N, by halving %.3f N", seed, fast, slow)
	}
	require.Greater(t, reached, 20)
	t.Logf("%.2f presses a force, over %d cars", float64(presses)/float64(reached), reached)
	assert.Less(t, float64(presses)/float64(reached), 4.5)
}

func countingPresses[S any](of func(S) float64, n *int) func(S) float64 {
	return func(s S) float64 { *n++; return of(s) }
}

// What quadratics decide of sampled cars is what the simulation of every one finds, and an
// influence that they find is that of the simulations within the stated error.
func TestShortcutIsTheSimulationOfEveryCar(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	cars := [][]string{
		{"source.vacuum=14 inHg ± 2"},
		{"source.vacuum=12 inHg ± 1", "booster.ratio=4 ± 0.5"},
		{"source.vacuum=15 inHg ± 1.5", "brake.front.friction=0.36 ± 0.05", "reservoir.volume=1 L"},
		{"source.vacuum=9 inHg ± 1", "pump.free_flow=20 L/min", "pump.on=13 inHg", "pump.off=17 inHg", "pedal.ratio=4.5 ± 0.4"},
	}
	if testing.Short() {
		cars = cars[1:2]
	}
	undecided := 0
	for _, flags := range cars {
		s, err := scenario.Builtin(append(flags, "choose.deceleration=0.7 g")...)
		require.NoError(t, err)
		o, err := considerStops(ctx, s, presentParts(s))
		require.NoError(t, err)
		r := &ChooseResult{Options: []ChooseOption{*o}}
		require.NoError(t, r.sureOfOptions(ctx, s, nil))
		inputs := uncertain(s)
		every, err := chances(ctx, len(inputs), len(r.Sure.Chances), nil, func(ctx context.Context, u []float64) ([]bool, error) {
			car, err := drawn(s, inputs, u)
			if err != nil {
				return nil, err
			}
			found, err := judging([]*ChooseOption{o})(ctx, car)
			var holds []bool
			for _, j := range found {
				holds = append(holds, j.holds)
			}
			return holds, err
		})
		require.NoError(t, err)
		for i, c := range r.Sure.Chances {
			assert.Equal(t, every[i].mean, c.Chance, "%v: %s", flags, c.Criterion)
			if c.Chance > 0 && c.Chance < 1 {
				undecided++
			}
		}
		t.Logf("%v: %d cars simulated, %v", flags, r.Sure.Simulated, r.Sure.Chances)
		indices, err := totalOrder(ctx, len(inputs), influenceSample, nil, func(ctx context.Context, u []float64) (float64, error) {
			car, err := drawn(s, inputs, u)
			if err != nil {
				return 0, err
			}
			return needed(o)(ctx, car)
		})
		require.NoError(t, err)
		for k, in := range inputs {
			for _, found := range r.Sure.Influences {
				if found.Input == in.Path {
					assert.InDelta(t, indices[k], float64(found.Total.Value()), numberWithin, "%v: %s", flags, in.Path)
				}
			}
		}
	}
	assert.Positive(t, undecided, "every chance is 0 or 1, which would show nothing")
}

// A quadratic is found again, and its errors are 0; what is none is off by what it is off.
func TestQuadraticsFindAQuadratic(t *testing.T) {
	of := func(u []float64) float64 { return 3 - u[0] + 2*u[1]*u[1] - 4*u[0]*u[1] }
	var points, values [][]float64
	at := points01(16, 2, 0)
	for i := range 16 {
		u := at.RawRowView(i)
		points = append(points, u)
		values = append(values, []float64{of(u), math.Abs(u[0] - 0.5)})
	}
	found := quadratics(points, values)
	require.Len(t, found, 2)
	for _, u := range [][]float64{{0, 0}, {1, 1}, {0.2, 0.9}} {
		assert.InDelta(t, of(u), found[0].at(u), 1e-12, fmt.Sprint(u))
	}
	assert.Less(t, found[0].worst, 1e-12)
	off := 0.0
	for i := range points {
		rest := quadratics(append(append([][]float64{}, points[:i]...), points[i+1:]...), append(append([][]float64{}, values[:i]...), values[i+1:]...))
		off = max(off, math.Abs(rest[1].at(points[i])-values[i][1]))
	}
	assert.InDelta(t, off, found[1].worst, 1e-12, "as left out one by one")
	assert.Nil(t, quadratics(points[:5], values[:5]), "too few points")
}
