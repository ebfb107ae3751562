package diagnose

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/workshop"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// Where the readings leave nothing that can be simulated, any outcome of a test is possible,
// and it tells nothing.
func TestForecastOfWhatNothingExplains(t *testing.T) {
	t.Parallel()
	l := library(t)
	p := &posterior{anything: 1, unexplained: 1}
	for i, trial := range l.trials[:l.menu] {
		f := l.forecast(p, i, p.faintest())
		sum := 0.0
		for _, v := range f.total {
			sum += v
		}
		assert.InDelta(t, 1, sum, 1e-9, "%s", trial.Test())
		assert.InDelta(t, 0, f.bits(), 1e-12, "%s", trial.Test())
		assert.NotPanics(t, func() { l.outcomesOf(f) })
	}
}

// Readings that no car gives are answered, and said to be so.
func TestReadingsOfNoCar(t *testing.T) {
	t.Parallel()
	l := library(t)
	at := func(name scenario.Test) int {
		return slices.IndexFunc(l.trials, func(t workshop.Trial) bool { return t.Test() == name && t.Vacuum == 0 })
	}
	var readings []scenario.Reading
	for name, value := range map[scenario.Test]float64{
		scenario.LinePressure: 40e6, scenario.PedalTravel: 1e-3, scenario.ManifoldVacuum: 1e3, scenario.BoosterVacuum: 90e3,
	} {
		r := l.trials[at(name)].Reading(value)
		r.Error = 1e-6 * value
		readings = append(readings, r)
	}
	d, err := l.Diagnose(t.Context(), readings)
	require.NoError(t, err)
	assert.Greater(t, d.Unexplained, 0.99)
	for _, s := range d.Suspects {
		for _, because := range s.Because {
			assert.NotContains(t, because, "—")
		}
	}
	assert.NotContains(t, d.shortVerdict(si.US)+strings.Join(d.evidenceWords(si.US), " "), "—")
}
