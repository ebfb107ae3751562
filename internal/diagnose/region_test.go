package diagnose

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/workshop"
	"kneepoint/sim/scenario"
)

func vacuumAtBooster() workshop.Trial {
	t, err := workshop.TrialOf(scenario.Reading{Test: scenario.BoosterVacuum})
	if err != nil {
		panic(err)
	}
	return t
}

// forecastOf is a forecast of a figure in 64 bins from 0 to 1.
func forecastOf(all ...prediction) *forecast {
	f := &forecast{trial: vacuumAtBooster(), bins: bins{0, 1.0 / outcomeBins, outcomeBins}}
	for _, s := range all {
		v := make([]float64, f.n)
		f.put(v, s)
		f.classes, f.joint = append(f.classes, s.class), append(f.joint, v)
	}
	f.addUp()
	return f
}

func shown(c class, mean, dev, weight float64) prediction { return prediction{c, mean, dev, weight} }

// Two classes with the same spread change the lead where the normal densities,
// weighed, are the same: half way, moved by dev² ln(weights) over the distance. The
// cut goes there, whatever bin it is in, and never jumps.
func TestCutLiesWhereTheLeadChanges(t *testing.T) {
	t.Parallel()
	const dev, left, right = 0.08, 0.35, 0.65
	var last, lastWant float64
	for i := range 400 {
		share := 0.3 + 0.001*float64(i)
		want := (left+right)/2 + dev*dev*math.Log(share/(1-share))/(right-left)
		f := forecastOf(shown(class{0, noFault}, left, dev, share), shown(class{1, noFault}, right, dev, 1-share))
		var cuts []float64
		for k, all := 1, f.regions(); k < len(all); k++ {
			if all[k].front != all[k-1].front {
				cuts = append(cuts, f.edge(all[k].from))
			}
		}
		require.Len(t, cuts, 1)
		cut := cuts[0]
		assert.InDelta(t, want, cut, 0.05*f.width)
		if i > 0 {
			assert.InDelta(t, want-lastWant, cut-last, 0.02*f.width, "at %g", share)
		}
		last, lastWant = cut, want
	}
}

// A class that leads in less than a bin is a region too, and the regions cover all
// outcomes, with chances that add up to 1.
func TestRegionsCoverAllOutcomes(t *testing.T) {
	t.Parallel()
	f := forecastOf(shown(class{0, noFault}, 0.3, 0.06, 0.45), shown(class{1, noFault}, 0.7, 0.06, 0.45),
		shown(class{2, noFault}, 0.5, 0.04, 0.1), shown(class{3, noFault}, 0.5, 0.4, 0.02))
	all := f.regions()
	at, sum := 0.0, 0.0
	for _, s := range all {
		assert.Equal(t, at, s.from)
		assert.InDelta(t, within(f.total, s.from, s.to), s.chance, 1e-12)
		middle := (s.from+s.to)/2 - 0.5
		k := int(clamp(middle, 0, float64(f.n-2)))
		share := clamp(middle-float64(k), 0, 1)
		for c, v := range f.joint {
			mine := f.joint[s.front]
			assert.GreaterOrEqual(t, mine[k]+share*(mine[k+1]-mine[k])+1e-12, v[k]+share*(v[k+1]-v[k]), "class %d at %g", c, middle)
		}
		at, sum = s.to, sum+s.chance
	}
	assert.Equal(t, float64(f.n), at)
	assert.InDelta(t, 1, sum, 1e-12)
}
