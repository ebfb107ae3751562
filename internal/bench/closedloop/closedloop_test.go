package main

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/workshop"
	"kneepoint/sim/scenario"
)

// Twenty cars of one kind with every test that tells anything, and forty as an interview stops.
// The shares that are wanted, 90 and 97 %, are missed (docs/diagnosis.md), which hundreds of
// cars show and twenty cannot: what holds here is that the shares recorded there lie within the
// interval of what is found, so that it shows when the tool gets much worse than it is said to
// be. The first repair, for which an interview stops, has to be right as often as it is stated.
func TestSomeCars(t *testing.T) {
	if testing.Short() {
		t.Skip("simulates sixty cars")
	}
	s, err := open("stock-ten-inch")
	require.NoError(t, err)
	l, err := newLoop(t.Context(), s, 4711)
	require.NoError(t, err)
	stopped, err := run(t.Context(), []*loop{l}, 40)
	require.NoError(t, err)
	begun := count(stopped, (*trial).startsRight)
	low, high := begun.interval()
	assert.GreaterOrEqual(t, meanBegins(stopped), low)
	assert.LessOrEqual(t, meanBegins(stopped), high)
	l.thorough = true
	trials, err := run(t.Context(), []*loop{l}, 20)
	require.NoError(t, err)
	t.Logf("first %s to the end; where an interview stops first %s, three %s, first repair %s", percent(within(trials, 1)), percent(within(stopped, 1)), percent(within(stopped, 3)), percent(begun))
	for _, recorded := range []struct {
		first int
		share float64
	}{{1, 0.77}, {3, 0.86}} {
		_, high := within(trials, recorded.first).interval()
		assert.GreaterOrEqual(t, high, recorded.share)
	}
	for _, x := range trials {
		sum := 0.0
		for _, s := range x.said {
			sum += s.p
		}
		require.InDelta(t, 1, sum, 1e-9)
	}
}

// The fleet has what it should: every fault at even severities, and of twenty cars three
// pairs, two faults in no list and two without one, and the same car for the same seed.
func TestFleet(t *testing.T) {
	s, err := open("stock-ten-inch")
	require.NoError(t, err)
	names := canHave(&s.Config)
	kinds, faults, slight := map[string]int{}, map[string]int{}, 0
	for n := range 400 {
		c := drawCar(&s.Config, n, 1, names, 0)
		kinds[c.kind]++
		if c.kind == single {
			faults[c.name]++
			if severityOf(c.faults[0]) < 0.5 {
				slight++
			}
		}
		for _, p := range c.own.Check() {
			require.False(t, p.Fatal, "car %d: %v", n, p)
		}
		again := drawCar(&s.Config, n, 1, names, 0)
		assert.Equal(t, c.own, again.own)
		assert.Equal(t, c.shows, again.shows)
		if c.kind == sound {
			assert.Equal(t, c.own, c.before, "the driver knew it so")
		}
	}
	assert.Equal(t, map[string]int{single: 260, pair: 60, outside: 40, sound: 40}, kinds)
	for _, name := range names {
		assert.InDelta(t, 260/float64(len(names)), faults[string(name)], 1, name)
	}
	assert.InDelta(t, 260*0.45/0.95, slight, 12)
}

// Every sign that is not simulated is answered out of this fleet's own table, and wheels let
// go only while they drag.
func TestSignsAreAnswered(t *testing.T) {
	s, err := open("stock-ten-inch")
	require.NoError(t, err)
	yes := map[scenario.Test]int{}
	for n := range 200 {
		c := drawCar(&s.Config, n, 1, canHave(&s.Config), 0)
		for _, r := range workshop.Tests(s.Config) {
			trial, err := workshop.TrialOf(r)
			require.NoError(t, err)
			got, ok := c.look(r)
			require.Equal(t, trial.ByChance(), ok, "%s", r.Test)
			if !ok {
				continue
			}
			if trial.WhileDrags() {
				assert.Equal(t, !c.drags(), got.CantTell, "%s", r.Test)
			}
			if got.Answer {
				yes[r.Test]++
			}
		}
	}
	for test, n := range yes {
		assert.Positive(t, n, "%s", test)
		assert.Less(t, n, 198, "%s", test)
	}
}

// Wilson's interval of 81 out of 263, as worked in R. G. Newcombe 1998, Statistics
// in Medicine 17, 857 (from memory): 0.2553 to 0.3662.
func TestWilsonInterval(t *testing.T) {
	low, high := share{81, 263}.interval()
	assert.InDelta(t, 0.2553, low, 5e-5)
	assert.InDelta(t, 0.3662, high, 5e-5)
}

// The diagram has a point for every bin with cars in it, and is a picture.
func TestReliabilityDiagram(t *testing.T) {
	bins := []bin{{0.4, 0.5, share{5, 12}, 5.4}, {0.5, 0.6, share{}, 0}, {0.9, 1, share{97, 100}, 96}}
	fig := diagram(bins, "")
	points := fig.Panels[0].Curves[3]
	assert.InDeltaSlice(t, []float64{0.45, 0.96}, points.X, 1e-12)
	assert.InDeltaSlice(t, []float64{5.0 / 12, 0.97}, points.Y, 1e-12)
	path := filepath.Join(t.TempDir(), "a.svg")
	require.NoError(t, draw(fig, path))
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Contains(t, string(text), "</svg>")
}

// A forecaster who is always right about the chances has no calibration error,
// one who is sure and half wrong has a half.
func TestCalibrationError(t *testing.T) {
	var honest, boastful []*trial
	for i := range 1000 {
		honest = append(honest, &trial{said: []said{{p: 0.75, right: i%4 != 0}}})
		boastful = append(boastful, &trial{said: []said{{p: 1, right: i%2 == 0}}})
	}
	assert.InDelta(t, 0, calibrationError(reliability(honest)), 1e-12)
	assert.InDelta(t, 0.5, calibrationError(reliability(boastful)), 1e-12)
	assert.False(t, math.IsNaN(calibrationError(reliability(honest[:1]))))
}
