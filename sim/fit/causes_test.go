package fit

import (
	"context"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/answertest"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

const benchFind = "fit.find=front-shell-leak,booster.front_volume"

// A log of a car with a fault is not forced on a sound one: the fault is named, and where to
// go on; figures without it are called no good answer.
func TestAFaultIsHandedOn(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("every default and every fault is tried")
	}
	b := bench{car: benchCar("fault[1].name=air-in-circuit", "fault[1].severity=0.4"), line: true}
	r := fitOf(t, b.log(b.states(t), rand.New(rand.NewPCG(1, 78))), "booster.rear_volume=0.6 L", benchFind)
	require.NotNil(t, r.Fault)
	// Gas in the fluid is gas, whether it came in or boiled out.
	found := map[string]float64{}
	for _, p := range append([]Proposal{*r.Fault}, r.Fault.Rivals...) {
		found[p.Found[0].Name] = p.Found[0].Value
		for _, other := range p.Others {
			if other.Name == "booster.front_volume" {
				assert.InEpsilon(t, benchVolume, other.Value, 0.05, "%s", p.Found[0].Name)
			}
		}
	}
	assert.InDelta(t, 0.4, found["air-in-circuit"], 0.05)
	words := r.Words(si.US)
	assert.Contains(t, words[0], "air-in-circuit (severity 0.")
	assert.Contains(t, strings.Join(words, "\n"), "`kneepoint diagnose` with this car and --ask")
	answertest.HasKeys(t, answertest.Decode(t, r, append(plain, "value")...)["fault"].(map[string]any), "cause", "score", "found", "gauge", "rivals")
}

// Several logs of one car have one leak and one volume, and each its own gauge: what one log
// cannot tell apart, two can.
func TestSeveralLogs(t *testing.T) {
	t.Parallel()
	b := bench{car: benchCar()}
	presses := b.log(b.states(t), rand.New(rand.NewPCG(2, 78)))
	at := restLog()
	at.car, at.start, at.vacuum = b.car, 60e3, benchNoise
	rest := at.text(at.track(t).Every(at.every), rand.New(rand.NewPCG(3, 78)))
	s, err := scenario.Builtin("booster.rear_volume=0.6 L", benchFind)
	require.NoError(t, err)
	solved := func(texts ...string) *Result {
		f := &Fit{}
		switch len(texts) {
		case 1:
			f, err = New(s, readLog(t, texts[0]))
		default:
			second := readLog(t, texts[1])
			second.Name = "rest.csv"
			f, err = New(s, readLog(t, texts[0]), second)
		}
		require.NoError(t, err)
		r, err := f.Solve(context.Background(), nil)
		require.NoError(t, err)
		return r
	}
	both, one := solved(presses, rest), solved(presses)
	for name, truth := range map[string]float64{"front-shell-leak": benchLeak, "booster.front_volume": benchVolume} {
		v := both.of(t, name)
		assert.InDelta(t, truth, v.Estimate, 3.5*v.Error, name)
		assert.Less(t, v.Error, one.of(t, name).Error, "two logs say more of %s", name)
	}
	var starts []string
	for _, v := range both.Unknowns {
		if v.Name == StartVacuum {
			starts = append(starts, v.Log)
		}
	}
	assert.Equal(t, []string{"test.csv", "rest.csv"}, starts)
	assert.Contains(t, both.Words(si.SI)[0], "From 2 logs with ")
	assert.Len(t, both.Figures(), 2)
	answertest.Decode(t, both, plain...)
}

// Dropouts are left out and named, and leave errors as they are without them.
func TestDropoutsDoNotWidenErrors(t *testing.T) {
	t.Parallel()
	clean := bench{car: benchCar()}
	states := clean.states(t)
	spoiled := clean
	off := map[int]float64{0: 0, 33: 0, 60: 0, 61: 0, 110: 99e3, 130: 0}
	spoiled.spoiled = func(_ *rand.Rand, row int, v float64) float64 {
		if to, ok := off[row]; ok {
			return to
		}
		return v
	}
	sound := fitOf(t, clean.log(states, rand.New(rand.NewPCG(4, 78))), "booster.rear_volume=0.6 L", benchFind)
	r := fitOf(t, spoiled.log(states, rand.New(rand.NewPCG(4, 78))), "booster.rear_volume=0.6 L", benchFind)
	assert.Empty(t, sound.Outliers)
	lines := map[int]float64{}
	for _, o := range r.Outliers {
		lines[o.Line-2] = o.Value
	}
	assert.Equal(t, off, lines)
	for _, name := range []string{"front-shell-leak", "booster.front_volume"} {
		v, without := r.of(t, name), sound.of(t, name)
		assert.InEpsilon(t, without.Error, v.Error, 0.15, name)
		assert.InDelta(t, without.Estimate, v.Estimate, without.Error, name)
	}
	assert.Contains(t, strings.Join(r.Words(si.SI), "\n"), `6 readings left out, as a gauge's dropout`)
}

// A column whose unit is not what it holds gives no confident leak.
func TestAWrongUnitIsDoubted(t *testing.T) {
	t.Parallel()
	r := fitOf(t, "time_s,vacuum [kPa]\n0,19.6\n10,18.2\n20,16.9\n30,15.3\n40,14.0\n50,12.5\n60,11.3\n70,9.9\n80,8.7\n90,7.3\n")
	words := r.Words(si.US)
	assert.True(t, strings.HasPrefix(words[0], `Doubtful: "vacuum [kPa]" of test.csv shows no more than 19.6 kPa`), words[0])
	assert.Contains(t, words[0], "look at the unit")
	assert.Contains(t, words[1], "taken as labelled")
	assert.Empty(t, r.Added)
	r = fitOf(t, "time_s,vacuum [inHg]\n0,19.6\n10,18.2\n20,16.9\n30,15.3\n40,14.0\n50,12.5\n60,11.3\n70,9.9\n80,8.7\n90,7.3\n")
	assert.True(t, strings.HasPrefix(r.Words(si.US)[0], "From 10 rows"))
}

// The lag of a gauge is that of a brute integration in small steps.
func TestLag(t *testing.T) {
	t.Parallel()
	s, err := scenario.Builtin(benchCar()...)
	require.NoError(t, err)
	d := &drive{log: readLog(t, "time_s,vacuum_pa,pedal_n\n0,60000,0\n9,50000,0\n10,0,150\n20,0,150\n"), engine: "off", fills: true}
	d.course, _ = courseOf(d.log, 1, float64(d.log.From()))
	track, err := d.run(context.Background(), s.Config, 60e3, 0, foot{})
	require.NoError(t, err)
	g := gauge{dim: si.DimVacuum, of: shownBy["front vacuum"]}
	var course []float64
	for _, s := range track.Every(benchGrid) {
		course = append(course, float64(s.FrontVacuum))
	}
	shown := g.shown(track, habit{lag: 0.8}, once(track))
	slowed := slow(0.8)(course)
	for i := 0; i < len(course); i += 50 {
		assert.InDelta(t, slowed[i], shown(float64(i)*benchGrid), 5)
	}
	assert.Greater(t, slowed[1920], course[1920]+1000, "the press shows late")
}
