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
	c.SlidingAdhesion = SlidingOf(c.Adhesion)
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
// by one in its closed form.
func TestDecelerationIsThatOfTheLockedAndTheFreeAxle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCar(t)
		front, rear := anyLines(t)
		ff, fr := c.BrakeForces(front, rear)
		f, r := float64(ff)/float64(c.Mass), float64(fr)/float64(c.Mass)
		mu, k, s := float64(c.Adhesion), float64(c.CentreHeight/c.Wheelbase), float64(c.FrontShare)
		limits := func(a float64) (float64, float64) { return mu * (gravity*s + a*k), mu * (gravity*(1-s) - a*k) }
		var want []float64
		try := func(a float64, frontLocked, rearLocked bool) {
			if lf, lr := limits(a); lr > 0 && (f >= lf) == frontLocked && (r >= lr) == rearLocked {
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
			return // the rear axle has lifted, or a corner to the last digits
		}
		assert.InDelta(t, want[0], got, 1e-9)
		// A driver's rounded corner takes off a little just below the lock and nothing
		// elsewhere.
		rounded, _, _ := c.deceleration(float64(front), float64(rear), lockRounding)
		assert.LessOrEqual(t, rounded, got+1e-9)
		assert.GreaterOrEqual(t, rounded, got*(1-lockRounding/4)-1e-9)
	})
}

// Up to the first lock the car slows by the sum of its brake forces, to rounding, and
// beyond it by that less what the road does not bear. An axle that lifts with hardly a brake
// on it locks too, and takes nothing off that shows.
func TestDecelerationIsThatOfTheBrakesUpToTheFirstLock(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCar(t)
		ratio := rapid.Float64Range(0, 1).Draw(t, "rear over front")
		sum := func(line float64) float64 {
			f, r := c.BrakeForces(si.Pressure(line), si.Pressure(line*ratio))
			return float64(f+r) / float64(c.Mass)
		}
		locks := func(line float64) bool {
			f, r := c.BrakeForces(si.Pressure(line), si.Pressure(line*ratio))
			lf, lr := c.AxleLoads(si.Acceleration(sum(line)))
			return f > si.Force(c.Adhesion)*lf || r > si.Force(c.Adhesion)*lr
		}
		low, high := 0.0, 60e6
		if !locks(high) {
			t.Skip("brakes that lock nothing")
		}
		for range 60 {
			if mid := (low + high) / 2; locks(mid) {
				high = mid
			} else {
				low = mid
			}
		}
		slows := func(line float64) float64 {
			return float64(c.Deceleration(si.Pressure(line), si.Pressure(line*ratio)))
		}
		for _, share := range []float64{0.1, 0.5, 0.9, 0.99, 0.9999} {
			if line := share * low; sum(line) > 0 {
				assert.InEpsilon(t, sum(line), slows(line), 1e-11)
			}
		}
		beyond := 1.05 * high
		f, r := c.BrakeForces(si.Pressure(beyond), si.Pressure(beyond*ratio))
		lf, lr := c.AxleLoads(si.Acceleration(slows(beyond)))
		lost := max(0, f-si.Force(c.Adhesion)*lf) + max(0, r-si.Force(c.Adhesion)*max(0, lr))
		assert.Positive(t, lost)
		assert.InDelta(t, sum(beyond)-float64(lost)/float64(c.Mass), slows(beyond), 1e-9)
	})
}

func TestSlidingTakesOff(t *testing.T) {
	c := Typical().Car
	assert.InDelta(t, 0.75, float64(c.SlidingAdhesion), 0.005)
	assert.InEpsilon(t, float64(c.SlidingAdhesion)*gravity, float64(c.SlidingDeceleration()), 1e-12)
	assert.Less(t, c.SlidingDeceleration(), c.Deceleration(20e6, 20e6))
}

func TestDecelerationSlopesMatchDifferences(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCar(t)
		front, rear := anyLines(t)
		_, byFront, byRear := c.deceleration(float64(front), float64(rear), lockRounding)
		const h = 5.0
		slope := func(df, dr float64) float64 {
			up, _, _ := c.deceleration(float64(front)+df*h, float64(rear)+dr*h, lockRounding)
			down, _, _ := c.deceleration(float64(front)-df*h, float64(rear)-dr*h, lockRounding)
			return (up - down) / (2 * h)
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
	c.Car.ResidualRear = 10 * si.PoundPerSquareInch
	kept := c.Car.RearBrake.besideResidual(c.Rear, c.Car.ResidualRear)
	assert.Less(t, kept.TakeUp, c.Rear.TakeUp)
	assert.Positive(t, kept.TakeUp)
	assert.Equal(t, c.Rear.Compliance, kept.Compliance)
	assert.Positive(t, c.Car.RearBrake.besideResidual(c.Rear, 1e6).TakeUp)
	assert.False(t, c.Car.RearBrake.PadsDrag(1e6))
	assert.Zero(t, restless(t, c))
}

// restless is the deceleration of a car with the pedal free.
func restless(t *testing.T, c Config) si.Acceleration {
	m, err := New(c)
	require.NoError(t, err)
	return m.Start().State().Deceleration
}

// Behind discs a drum's 10 psi keeps the pads on the disc: the car is braked by that
// pressure with the pedal free, and by no more than before once the line is above it.
func TestResidualValveBehindDiscsDrags(t *testing.T) {
	c, without := Typical(), Typical()
	c.Car.ResidualFront = 10 * si.PoundPerSquareInch
	assert.True(t, c.Car.FrontBrake.PadsDrag(c.Car.ResidualFront))
	assert.False(t, c.Car.FrontBrake.PadsDrag(2*si.PoundPerSquareInch), "right below a master cylinder that sits lower")
	drag, _ := without.Car.BrakeForces(c.Car.ResidualFront, 0)
	assert.InEpsilon(t, float64(drag)/float64(c.Car.Mass), float64(restless(t, c)), 1e-9)
	assert.Less(t, c.Car.FrontBrake.besideResidual(c.Front, c.Car.ResidualFront).TakeUp, c.Front.TakeUp)
	assert.Equal(t, without.Car.Deceleration(2e6, 2e6), c.Car.Deceleration(2e6, 2e6))
	for line := si.Pressure(0); line < 0.3e6; line += 1e3 {
		f, _ := c.Car.BrakeForces(line, 0)
		f0, _ := without.Car.BrakeForces(line, 0)
		assert.GreaterOrEqual(t, f, max(f0, drag))
	}
	c.Front.Lost = true
	assert.Zero(t, restless(t, c), "what is lost keeps nothing")
}

func TestHosesStretch(t *testing.T) {
	rubber := Typical().Front
	braided := rubber.WithHoses(HosesBraided, FrontHoses)
	assert.InEpsilon(t, 0.12e-12, float64(rubber.Compliance-braided.Compliance), 1e-9)
	assert.Equal(t, braided, braided.WithHoses(HosesBraided, FrontHoses))
	back := braided.WithHoses(HosesRubber, FrontHoses)
	assert.InEpsilon(t, float64(rubber.Compliance), float64(back.Compliance), 1e-12)

	stiff := Circuit{Compliance: 0.01e-12}
	assert.Equal(t, stiff.Compliance, stiff.WithHoses(HosesBraided, FrontHoses).Compliance, "never more than it was")
}

// Whose wheels lock is where the deceleration stops growing: below the first lock none,
// well above it both, and on the way the axle whose brakes ask for more than it holds.
func TestLocks(t *testing.T) {
	t.Parallel()
	car := Typical().Car
	var first, last si.Pressure
	for p := si.Pressure(0); p < 30e6; p += 50e3 {
		front, rear := car.locks(p, p)
		a := car.Deceleration(p, p)
		onFront, onRear := car.AxleLoads(a)
		byFront, byRear := car.BrakeForces(p, p)
		if !front && !rear {
			assert.InEpsilon(t, 1+float64((byFront+byRear)/si.Force(car.Mass)), 1+float64(a), 1e-6, "%v: every wheel turns, so the brakes alone slow the car", p)
			continue
		}
		if first == 0 {
			first = p
		}
		if front && rear {
			last = p
			assert.InEpsilon(t, gravity*float64(car.Adhesion), float64(a), 1e-6, "all wheels locked: the road gives all it has")
			break
		}
		assert.Equal(t, front, float64(byFront) > float64(car.Adhesion)*float64(onFront))
		assert.Equal(t, rear, float64(byRear) > float64(car.Adhesion)*float64(onRear))
	}
	assert.Positive(t, first)
	assert.Greater(t, last, first)
}
