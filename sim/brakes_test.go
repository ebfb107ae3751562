package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kneepoint/sim/si"
)

// anyCar draws a car whose axles stay on the road.
func anyCar(t *rapid.T) Car {
	draw := func(name string, from, to float64) float64 { return rapid.Float64Range(from, to).Draw(t, name) }
	c := Typical().Car
	c.Mass = si.Mass(draw("mass", 600, 2600))
	c.Adhesion = si.Ratio(draw("adhesion", 0.1, 1.2))
	c.FrontShare = si.Ratio(draw("share", 0.35, 0.7))
	c.CentreHeight = si.Length(draw("height", 0, 0.9))
	c.Wheelbase = si.Length(draw("wheelbase", 2.2, 3.4))
	c.RearBrake.ShoeFactor = si.Ratio(draw("shoe factor", 0.5, 6))
	c.SplitSlope = si.Ratio(draw("slope", 0, 1))
	c.SplitPressure = si.Pressure(draw("split", 0, 6e6))
	if rapid.Bool().Draw(t, "metering valve") {
		c.HoldOff = si.Pressure(draw("hold-off", 1e5, 2e6))
	}
	return c
}

func anyLines(t *rapid.T) (front, rear si.Pressure) {
	line := rapid.Float64Range(0, 15e6)
	return si.Pressure(line.Draw(t, "front")), si.Pressure(line.Draw(t, "rear"))
}

// The load that leaves the rear axle arrives at the front one.
func TestAxleLoadsAddUpToTheWeight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCar(t)
		a := si.Acceleration(rapid.Float64Range(0, 12).Draw(t, "a"))
		front, rear := c.AxleLoads(a)
		assert.InEpsilon(t, float64(c.Mass)*gravity, float64(front+rear), 1e-12)
		if rear > 0 {
			moved := float64(c.Mass) * float64(a) * float64(c.CentreHeight) / float64(c.Wheelbase)
			assert.InDelta(t, float64(c.Mass)*gravity*float64(c.FrontShare)+moved, float64(front), 1e-6)
		}
	})
}

// Which of the four cases holds, front or rear locked or free, is tried here one
// by one in its closed form, for a car whose corner is far enough away.
func TestDecelerationIsThatOfTheLockedAndTheFreeAxle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCar(t)
		front, rear := anyLines(t)
		ff, fr := c.BrakeForces(front, rear)
		f, r := float64(ff)/float64(c.Mass), float64(fr)/float64(c.Mass)
		mu, k, s := float64(c.Adhesion), float64(c.CentreHeight/c.Wheelbase), float64(c.FrontShare)
		limits := func(a float64) (float64, float64) { return mu * (gravity*s + a*k), mu * (gravity*(1-s) - a*k) }
		const clear = 1 - lockRounding
		var want []float64
		try := func(a float64, frontLocked, rearLocked bool) {
			lf, lr := limits(a)
			if lr > 0 && (f*clear >= lf) == frontLocked && (r*clear >= lr) == rearLocked &&
				(frontLocked || f <= lf*clear) && (rearLocked || r <= lr*clear) {
				want = append(want, a)
			}
		}
		try(f+r, false, false)
		try((mu*gravity*s+r)/(1-mu*k), true, false)
		try((f+mu*gravity*(1-s))/(1+mu*k), false, true)
		try(mu*gravity, true, true)
		got := float64(c.Deceleration(front, rear))
		assert.LessOrEqual(t, got, mu*gravity)
		assert.LessOrEqual(t, got, (f+r)*(1+1e-12))
		if len(want) == 0 {
			return // at a rounded corner
		}
		assert.InDelta(t, want[0], got, 1e-9)
	})
}

func TestDecelerationSlopesMatchDifferences(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCar(t)
		front, rear := anyLines(t)
		_, byFront, byRear := c.deceleration(float64(front), float64(rear))
		const h = 5.0
		slope := func(df, dr float64) float64 {
			up := c.Deceleration(front+si.Pressure(df*h), rear+si.Pressure(dr*h))
			down := c.Deceleration(front-si.Pressure(df*h), rear-si.Pressure(dr*h))
			return float64(up-down) / (2 * h)
		}
		if front > 2*h {
			assert.InDelta(t, slope(1, 0), byFront, 1e-9)
		}
		// A split of a few pascals has a corner as narrow as the difference is wide.
		corner := 2*h + min(valveRounding, float64(c.SplitPressure))
		if rear > 2*h && (c.SplitPressure > 2000*h || math.Abs(float64(rear-c.SplitPressure)) > corner) {
			assert.InDelta(t, slope(0, 1), byRear, 1e-9)
		}
	})
}

func TestMorePressureNeverBrakesLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCar(t)
		front, rear := anyLines(t)
		more := si.Pressure(rapid.Float64Range(0, 1e6).Draw(t, "more"))
		before := c.Deceleration(front, rear)
		assert.GreaterOrEqual(t, float64(c.Deceleration(front+more, rear)), float64(before)-1e-12)
		assert.GreaterOrEqual(t, float64(c.Deceleration(front, rear+more)), float64(before)-1e-12)
	})
}

func TestProportioningValveOnlyLowersTheRear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCar(t)
		line, _ := anyLines(t)
		rear := c.RearPressure(line)
		assert.LessOrEqual(t, float64(rear), float64(line))
		assert.GreaterOrEqual(t, float64(rear), float64(c.SplitSlope)*float64(line)-1e-6)
		without := c
		without.SplitSlope = 1
		f, r := c.BrakeForces(line, line)
		f0, r0 := without.BrakeForces(line, line)
		assert.Equal(t, f0, f)
		assert.LessOrEqual(t, float64(r), float64(r0))
		assert.Equal(t, line, without.RearPressure(line))
	})
}

func TestMeteringValveHoldsOffAndLetsThrough(t *testing.T) {
	c := Typical().Car
	assert.Equal(t, si.Pressure(3e6), c.FrontPressure(3e6), "none fitted")
	c.HoldOff = 0.7e6
	assert.Zero(t, c.FrontPressure(0))
	assert.Zero(t, c.FrontPressure(0.65e6))
	assert.InDelta(t, 0.45e6, float64(c.FrontPressure(1e6)), 1, "half as steep again as the line")
	assert.InDelta(t, 2.2e6, float64(c.FrontPressure(2.2e6)), 1, "all of it from three times the hold-off on")
	assert.InDelta(t, 9e6, float64(c.FrontPressure(9e6)), 1)
	f, r := c.BrakeForces(0.5e6, 0.5e6)
	assert.Zero(t, f)
	assert.Positive(t, r)
}

func TestResidualValveShortensTheTakeUpAndDoesNotBrake(t *testing.T) {
	c := Typical()
	c.Car.Residual = 10 * si.PoundPerSquareInch
	kept := c.Car.besideResidual(c.Rear)
	assert.Less(t, kept.TakeUp, c.Rear.TakeUp)
	assert.Positive(t, kept.TakeUp)
	assert.Equal(t, c.Rear.Compliance, kept.Compliance)
	c.Car.Residual = 1e6
	assert.Positive(t, c.Car.besideResidual(c.Rear).TakeUp)
	m, err := New(c)
	require.NoError(t, err)
	assert.Zero(t, m.Start().State().Deceleration)
}

// The published shoe factors of drums at a friction of 0.38 to 0.4 are about 2
// with a leading and a trailing shoe (handbook value, from memory); the form
// used gives 1.9 at 0.4.
func TestDrumsMoveMoreThanTheirFriction(t *testing.T) {
	mu := 0.4
	factor := 4 * mu / (1 - mu*mu)
	assert.InDelta(t, 2, factor, 0.15)
	b := Brake{Kind: Drum, ShoeFactor: si.Ratio(factor)}
	assert.InEpsilon(t, factor, float64(b.WithFriction(1).ShoeFactor), 1e-12)
	more := mu * 1.1
	assert.InEpsilon(t, 4*more/(1-more*more), float64(b.WithFriction(1.1).ShoeFactor), 1e-12)
	assert.Greater(t, float64(b.WithFriction(1.1).ShoeFactor), 1.1*factor)
	assert.Less(t, float64(b.WithFriction(10).ShoeFactor), 100.0, "grabbing is as far as it goes")

	disc := Brake{Kind: Disc, Friction: 0.35}.WithFriction(1.1)
	assert.InEpsilon(t, 0.385, float64(disc.Friction), 1e-12)
}

func TestHosesStretch(t *testing.T) {
	rubber := Typical().Front
	braided := rubber.WithHoses(Braided, FrontHoses)
	assert.InEpsilon(t, 0.12e-12, float64(rubber.Compliance-braided.Compliance), 1e-9)
	assert.Equal(t, braided, braided.WithHoses(Braided, FrontHoses))
	back := braided.WithHoses(Rubber, FrontHoses)
	assert.InEpsilon(t, float64(rubber.Compliance), float64(back.Compliance), 1e-12)

	stiff := Circuit{Compliance: 0.01e-12}
	assert.Equal(t, stiff.Compliance, stiff.WithHoses(Braided, FrontHoses).Compliance, "never more than it was")
}
