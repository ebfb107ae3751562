package study

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

// larger returns the car with every area, volume and force that a key sets k
// times as large, and every length of travel, pressure and ratio as it was.
func larger(c sim.Config, k float64) sim.Config {
	b := &c.Booster
	for _, a := range []*si.Area{&b.Area, &b.TailArea, &b.AirValve, &b.VacuumValve, &b.Filter, &c.Hose.Area} {
		*a *= si.Area(k)
	}
	for _, v := range []*si.Volume{&b.FrontVolume, &b.RearVolume, &c.Hose.Volume, &c.Reservoir.Volume,
		&c.Source.Displacement, &c.Source.ManifoldVolume, &c.Front.TakeUp, &c.Rear.TakeUp} {
		*v *= si.Volume(k)
	}
	for _, f := range []*si.Force{&b.JumpIn, &b.CutIn, &b.Spring, &b.Friction, &c.Master.Spring, &c.Master.Friction} {
		*f *= si.Force(k)
	}
	for _, r := range []*si.Stiffness{&b.SpringRate, &c.Master.SpringRate} {
		*r *= si.Stiffness(k)
	}
	c.Master.Bore *= si.Length(math.Sqrt(k))
	c.Front.Compliance *= si.Compliance(k)
	c.Rear.Compliance *= si.Compliance(k)
	return c
}

// TestKneeScalesWithTheParts holds that a booster and a master cylinder k times as
// large in every area and force have their knee at the same line pressure and k
// times the force. It would be exact if the estimates that no key sets grew too:
// on a slow press these are the springs and the disc of the valve (some 10 N of
// the input), the cylinder's own compliance and the pressure of a take-up. Its force
// is met within 2 % and its line pressure within 0.5 %.
func TestKneeScalesWithTheParts(t *testing.T) {
	worstLine, worstForce, compared := 0.0, 0.0, 0
	rapid.Check(t, func(t *rapid.T) {
		c := drawBooster(t)
		c = at(c, si.Vacuum(rapid.Float64Range(40e3, 75e3).Draw(t, "vacuum")))
		k := rapid.Float64Range(0.7, 1.4).Draw(t, "factor")
		a, err := forceCurve(t.Context(), c)
		require.NoError(t, err)
		b, err := forceCurve(t.Context(), larger(c, k))
		require.NoError(t, err)
		if !a.Ratio.Exists() || !b.Ratio.Exists() || floored(c, a) || floored(c, b) {
			return // one of them has no power line, or no stroke left, to have a knee on
		}
		compared++
		line := math.Abs(float64(b.Knee.Line.Value()/a.Knee.Line.Value()) - 1)
		force := math.Abs(float64(b.Knee.Pedal.Value()/a.Knee.Pedal.Value())/k - 1)
		assert.Less(t, line, 0.005)
		assert.Less(t, force, 0.02)
		worstLine, worstForce = max(worstLine, line), max(worstForce, force)
	})
	least := 50
	if testing.Short() {
		least = 5
	}
	assert.Greater(t, compared, least)
	t.Logf("worst miss: line pressure %.2g %%, force %.2g %%", 100*worstLine, 100*worstForce)
}

// floored says that a half of the cylinder is at the end of its stroke, whose
// stiffness does not grow with the parts.
func floored(c sim.Config, f *ForceCurve) bool {
	last := f.pressingFine[len(f.pressingFine)-1]
	half := 0.95 * c.Master.Stroke / 2
	return bottomed(&c, f) || last.Floater > half || last.Piston-last.Floater > half
}
