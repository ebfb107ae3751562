package diagnose

import (
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/workshop"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

const inHg = float64(si.InchOfMercury)

// after diagnoses the stock car after readings of vacua, without simulating it again.
func after(t *testing.T, readings ...scenario.Reading) *Diagnosis {
	t.Helper()
	l, err := library(t).reread(t.Context(), garage(t, "stock-ten-inch"), readings)
	require.NoError(t, err)
	require.NotNil(t, l)
	d, err := l.Diagnose(t.Context(), readings)
	require.NoError(t, err)
	return d
}

// Vacuum that is missing at the booster is not said to be enough because the file has more.
func TestVacuumAtTheBoosterIsNotTheSources(t *testing.T) {
	t.Parallel()
	d := after(t, scenario.Reading{Test: scenario.BoosterVacuum, Value: 9 * inHg})
	text := strings.Join(d.Words(si.US), " ")
	assert.Contains(t, text, "at the booster there is 9.0 inHg, which is not enough")
	assert.Contains(t, text, "read at the manifold whether that is so")
	assert.NotContains(t, text, "which is enough")

	d = after(t, scenario.Reading{Test: scenario.BoosterVacuum, Value: 19.5 * inHg})
	assert.False(t, d.Vacuum.AtBooster.Exists(), "what two gauges are out is not lost")
}

// Vacuum at the manifold and less at the booster is the hose, or air let in past it: said in
// words, and among the suspects, though a narrow hose by itself loses none at rest.
func TestVacuumLostOnTheWay(t *testing.T) {
	t.Parallel()
	d := after(t, scenario.Reading{Test: scenario.ManifoldVacuum, Value: 19 * inHg}, scenario.Reading{Test: scenario.BoosterVacuum, Value: 9 * inHg})
	words := d.Words(si.US)
	assert.Contains(t, words[0], "lost between manifold and booster")
	assert.Contains(t, words[1], "between manifold and booster")
	assert.Contains(t, words[2], "Look at the vacuum hose and its ends first")
	assert.NotContains(t, strings.Join(words, " "), "which is enough")
	narrow := 0.0
	for _, s := range d.Suspects {
		if len(s.Faults) == 2 && strings.Contains(s.Fault, string(sim.FaultHoseRestricted)) {
			narrow += s.Probability
		}
	}
	assert.Greater(t, narrow, 0.1, "a narrow hose with a leak beyond it")
}

// A time a little below a bound, the bound, and the end of the watch say much the same.
func TestBoundBesideAFigureTurnsNothing(t *testing.T) {
	t.Parallel()
	l := library(t)
	var trial workshop.Trial
	for _, other := range l.trials {
		if other.Test() == scenario.Recharge {
			trial = other
		}
	}
	unexplained := map[string]float64{}
	for name, read := range map[string]func(*scenario.Reading){
		"20 s":  func(r *scenario.Reading) { r.Takes = 20 },
		"25 s":  func(r *scenario.Reading) { r.Takes = 25 },
		">25 s": func(r *scenario.Reading) { r.Takes, r.Between = 25, &scenario.Between{Low: 25, High: math.Inf(1)} },
		"30 s":  func(r *scenario.Reading) { r.Takes = 30 },
	} {
		r := trial.Reading(0)
		read(&r)
		d := weighed(t, l, []scenario.Reading{r})
		assert.Equal(t, sim.SideSupply, d.Side, name)
		assert.False(t, d.nothingExplains(), name)
		unexplained[name] = d.Unexplained
	}
	for name, p := range unexplained {
		assert.InDelta(t, unexplained["20 s"], p, 0.2, "20 s and %s: %v", name, unexplained)
	}
}

// A reading that says little by itself is said to speak where it does beside the others: that
// a leak is gone with the pedal held.
func TestReadingSpeaksBesideTheOthers(t *testing.T) {
	t.Parallel()
	l := library(t)
	free, held := l.trials[2].Reading(9e3), l.trials[3].Reading(0.5e3)
	require.Equal(t, scenario.LeakDown, held.Test)
	d, err := l.Diagnose(t.Context(), []scenario.Reading{free, held})
	require.NoError(t, err)
	require.Equal(t, string(sim.FaultAirSeatLeak), d.Suspects[0].Fault)
	assert.Contains(t, d.Suspects[0].Because[1], "beside the others it speaks for it")
	for _, s := range d.Suspects {
		if s.Fault == string(sim.FaultFrontShellLeak) && len(s.Because) > 0 {
			assert.Contains(t, s.Because[1], "against it", "a hole in the shell leaks all the same")
		}
	}
}

// What people read has no names of files and no powers of ten.
func TestWordsAreForPeople(t *testing.T) {
	t.Parallel()
	l := library(t)
	var names []string
	for _, n := range append(sim.FaultNames(), NoFault+" (", Unexplained) {
		names = append(names, regexp.QuoteMeta(string(n)))
	}
	raw := regexp.MustCompile(`\b(` + strings.Join(names, "|") + `)|\bis is\b|\d[eE][+-]\d|source\.vacuum|pump\.on|[a-z]+-vacuum\b`)
	cases := [][]scenario.Reading{nil, exact(t, l, nil, 0, 1, 2), exact(t, l, nil, allTests(l)...)}
	for _, f := range []sim.FaultName{sim.FaultAirSeatLeak, sim.FaultMasterBypass, sim.FaultCaliperSeized} {
		cases = append(cases, exact(t, l, []sim.Fault{workshop.FaultAt(f, 0.6)}, 2, 3, 6, 9))
	}
	nonsense := exact(t, l, nil, 0, 1, 4)
	nonsense[0].Value, nonsense[2].Count = 3e3, 8
	cases = append(cases, nonsense)
	for _, readings := range cases {
		d, err := l.Diagnose(t.Context(), readings)
		require.NoError(t, err)
		for _, line := range append(d.Words(si.US), d.Screen(si.SI).Verdict...) {
			assert.NotRegexp(t, raw, line)
		}
	}
}
