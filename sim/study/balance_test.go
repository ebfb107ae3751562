package study

import (
	"context"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

func opened(t *testing.T, sets ...string) *scenario.Scenario {
	t.Helper()
	s, err := scenario.Open("", nil, sets...)
	require.NoError(t, err)
	return s
}

func balanced(t *testing.T, sets ...string) *BalanceResult {
	t.Helper()
	r, err := Balance(context.Background(), opened(t, sets...), nil)
	require.NoError(t, err)
	return r
}

// sharing returns a car whose front brakes do a fixed share of the work.
func sharing(front float64) sim.Car {
	c := withoutValve(sim.Typical().Car)
	c.FrontBrake = sim.Brake{Kind: sim.BrakeDisc, PistonArea: 30e-4, Friction: 0.35, Radius: 0.1}
	c.RearBrake = c.FrontBrake
	c.RearBrake.PistonArea = si.Area(30e-4 * (1 - front) / front)
	return c
}

// A car of 21.24 kN with 60 % of the braking in front: wheelbase 2.87 m, centre
// of mass 1.27 m behind the front axle and 0.508 m high (J. Y. Wong, Theory of
// Ground Vehicles, chapter 3, worked example; from memory). The book adds a
// rolling resistance of 0.02, and has the rear axle lock first at 0.67 g on an
// adhesion of 0.8, the front one first at 0.21 g on 0.2. Without the rolling
// resistance, which this model does not have, its equations worked by hand give
// μ·l₁/L/(1-K+μh/L) = 0.8·0.4425/0.5416 = 0.6536 for the rear on 0.8 and
// μ·l₂/L/(K-μh/L) = 0.2·0.5575/0.5646 = 0.1975 for the front on 0.2.
func TestWhichAxleLocksFirstOfAWorkedExample(t *testing.T) {
	c := sharing(0.6)
	c.Mass = 21240 / 9.80665
	c.Wheelbase, c.CentreHeight = 2.87, 0.508
	c.FrontShare = si.Ratio((2.87 - 1.27) / 2.87)
	for _, want := range []struct {
		adhesion      si.Ratio
		axle          verdict.Axle
		z, withinBook float64
	}{{0.8, verdict.RearAxle, 0.6536, 0.67}, {0.2, verdict.FrontAxle, 0.1975, 0.21}} {
		c.Adhesion = want.adhesion
		lock := verdict.Road{Car: &c}.FirstLock()
		assert.Equal(t, want.axle, lock.Axle)
		z := float64(lock.Deceleration.Value()) / 9.80665
		assert.InDelta(t, want.z, z, 2e-4)
		assert.InDelta(t, want.withinBook, z, 0.02, "no farther from the book than its rolling resistance")
	}
}

// Where both axles use the same adhesion it is the braking rate itself, and for
// a fixed share Φ in front that is at z = (Φ - share at rest)·L/h: by hand from
// f = T/N, the form of UN R13-H, annex 5 (from memory).
func TestEqualAdhesionLiesOnTheIdealLine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := sharing(0.5)
		c.FrontShare = si.Ratio(rapid.Float64Range(0.4, 0.6).Draw(t, "share"))
		z := rapid.Float64Range(0.2, 1).Draw(t, "z")
		k := float64(c.CentreHeight / c.Wheelbase)
		share := float64(c.FrontShare) + z*k
		c.RearBrake.PistonArea = si.Area(float64(c.FrontBrake.PistonArea) * (1 - share) / share)
		c.Adhesion = 1.2
		line := verdict.Road{Car: &c}.LineFor(func(p verdict.Braking) bool { return p.Rate() >= z })
		p := verdict.Road{Car: &c}.At(line.Value())
		assert.InDelta(t, z, float64(p.FrontAdhesion), 1e-5)
		assert.InDelta(t, z, float64(p.RearAdhesion), 1e-5)
		from := rearFirstFrom(&c, ruleFrom, math.Inf(1), verdict.Locked(c.Adhesion))
		assert.InDelta(t, z*9.80665, float64(from.Value()), 1e-4, "from there on the rear axle uses more")
	})
}

func TestBalancePoints(t *testing.T) {
	r := balanced(t, "brake.rear.kind=leading-trailing", "valves.split_slope=0.4", "valves.split_pressure=2 MPa")
	weight := float64(r.config.Car.Mass) * 9.80665
	require.Len(t, r.Cases, 2)
	for i, p := range r.Cases[0].Points {
		assert.InEpsilon(t, weight, float64(p.FrontLoad+p.RearLoad), 1e-12)
		assert.InDelta(t, float64(p.Deceleration)*float64(r.config.Car.Mass), float64(p.FrontForce+p.RearForce), 1e-6)
		assert.InDelta(t, float64(p.FrontAdhesion)*float64(p.FrontLoad), float64(p.FrontForce), 1e-6)
		assert.InDelta(t, float64(p.RearAdhesion)*float64(p.RearLoad), float64(p.RearForce), 1e-6)
		assert.LessOrEqual(t, float64(p.RearLine), float64(p.Line))
		if i > 0 {
			assert.Greater(t, float64(p.Deceleration), float64(r.Cases[0].Points[i-1].Deceleration))
		}
	}
	assert.Greater(t, float64(r.Cases[1].FirstLock.Deceleration.Value()), float64(r.Cases[0].FirstLock.Deceleration.Value()), "the valve costs braking of this front-heavy car")
}

// Before the first lock the car slows as the model says, and no sooner.
func TestFirstLockIsWhereTheModelBeginsToSlip(t *testing.T) {
	for _, sets := range [][]string{nil, {"valves.split_slope=1"}, {"brake.rear.kind=leading-trailing", "brake.rear.piston_area=6 cm2"}} {
		r := balanced(t, sets...)
		lock := r.Cases[0].FirstLock
		car := r.config.Car
		sum := func(line si.Pressure) float64 {
			f, b := car.BrakeForces(line, line)
			return float64(f+b) / float64(car.Mass)
		}
		before, after := 0.9999*lock.Line.Value(), 1.05*lock.Line.Value()
		assert.InDelta(t, sum(before), float64(car.Deceleration(before, before)), 1e-9)
		assert.Less(t, float64(car.Deceleration(after, after)), sum(after)-0.05)
		assert.InDelta(t, sum(lock.Line.Value()), float64(lock.Deceleration.Value()), 1e-6)
	}
}

func TestPedalForceOfTheFirstLock(t *testing.T) {
	r := balanced(t)
	lock := r.Cases[0].FirstLock
	m, err := sim.New(r.config)
	require.NoError(t, err)
	s := m.Start()
	require.NoError(t, s.Settle(context.Background(), sim.EngineIdle))
	s.Pedal(lock.Pedal.Value(), 60)
	require.NoError(t, s.Advance(context.Background(), 61))
	assert.InEpsilon(t, float64(lock.Line.Value()), float64(s.State().LineFront), 0.01)
}

func TestValveThatIsNeeded(t *testing.T) {
	r := balanced(t, "brake.rear.kind=leading-trailing", "brake.rear.piston_area=6 cm2")
	require.Equal(t, verdict.RearAxle, r.Cases[0].FirstLock.Axle)
	require.True(t, r.Valve.Needed)
	require.True(t, r.Valve.Possible)
	car, split := r.config.Car, r.Valve.SplitPressure.Value()
	rearFirst := func(split si.Pressure) bool {
		c := withValve(car, split, r.Valve.SplitSlope)
		road := verdict.Road{Car: &c}
		end := float64(road.LineFor(verdict.Locked(c.Adhesion)).Value())
		for line := 0.0; line <= end; line += end / 5000 {
			if p := road.At(si.Pressure(line)); p.Rate() > ruleFrom && p.RearAdhesion > p.FrontAdhesion+1e-6 {
				return true
			}
		}
		return false
	}
	assert.False(t, rearFirst(split), "with it the front axle stays first")
	assert.True(t, rearFirst(split+50e3), "and with a higher split it does not")
	last := r.Cases[len(r.Cases)-1]
	assert.Equal(t, verdict.FrontAxle, last.FirstLock.Axle)
	assert.Greater(t, float64(last.Efficiency.Value()), float64(r.Cases[0].Efficiency.Value()))
	assert.False(t, r.Rule.Holds)
	assert.InDelta(t, float64(r.Cases[0].Crossing.Value()), float64(r.Rule.BrokenFrom.Value()), 1e-3)
}

func TestValveThatIsNotNeededOrCannotHelp(t *testing.T) {
	none := balanced(t, "brake.rear.kind=leading-trailing")
	assert.False(t, none.Valve.Needed)
	assert.False(t, none.Valve.SplitPressure.Exists())
	assert.True(t, none.Rule.Holds)
	assert.Len(t, none.Cases, 1)

	hopeless := balanced(t, "brake.rear.piston_area=20 cm2", "valves.split_slope=0.9")
	assert.True(t, hopeless.Valve.Needed)
	assert.False(t, hopeless.Valve.Possible)
	assert.Contains(t, strings.Join(hopeless.Words(si.US), " "), "No proportioning valve with a slope of 0.9")
}

func TestBrakesTooSmallLockNothing(t *testing.T) {
	r := balanced(t, "brake.front.piston_area=1 cm2", "brake.rear.piston_area=0.1 cm2")
	assert.Equal(t, verdict.NoAxle, r.Cases[0].FirstLock.Axle)
	document, err := json.Marshal(r.Document())
	require.NoError(t, err)
	assert.Contains(t, string(document), `"first_lock":{"axle":null,"deceleration_mps2":null,"line_pa":null,"pedal_n":null}`)
}

func TestBalanceWords(t *testing.T) {
	words := strings.Join(balanced(t, "valves.hold_off=100 psi", "brake.rear.kind=disc").Words(si.SI), "\n")
	assert.Contains(t, words, "that is why front brakes are larger")
	assert.Contains(t, words, "metering valve")
	assert.NotContains(t, words, "psi")
	assert.NotContains(t, words, "NaN")
}

func TestBalanceFigures(t *testing.T) {
	r := balanced(t, "brake.rear.kind=leading-trailing", "brake.rear.piston_area=6 cm2")
	figures := r.Figures()
	require.Len(t, figures, 3)
	for _, f := range figures {
		for _, p := range f.Panels {
			for _, c := range p.Curves {
				require.Len(t, c.Y, len(c.X))
				for _, y := range c.Y {
					require.False(t, math.IsNaN(y) || math.IsInf(y, 0))
				}
			}
		}
	}
	mark := figures[1].Panels[0].Marks[0]
	assert.InDelta(t, float64(r.Adhesion), mark.Y, 1e-12)
}

// The classic car: with duo-servo drums behind and no valve its rear wheels lock first,
// at 0.70 g to 0.87 g over the factors of 3 to 5 that such brakes are said to have
// (worked out by hand from loads and forces, on the built-in car's figures); such cars
// had a valve, and with it the front wheels are first.
func TestClassicCarNeedsItsValve(t *testing.T) {
	r := balanced(t)
	assert.Equal(t, verdict.FrontAxle, r.Cases[0].FirstLock.Axle)
	require.NotNil(t, r.Linings)
	low, high := r.Linings.Low, r.Linings.High
	assert.InDelta(t, 3, float64(low.RearFactor.Value()), 1e-6)
	assert.InDelta(t, 5, float64(high.RearFactor.Value()), 1e-6)
	assert.False(t, low.FrontFactor.Exists())
	for _, end := range []LiningEnd{low, high} {
		assert.Equal(t, verdict.FrontAxle, end.FirstLock.Axle)
		assert.Equal(t, verdict.RearAxle, end.WithoutValve.Axle)
		assert.True(t, end.Valve.Needed)
	}
	assert.InDelta(t, 0.87, float64(low.WithoutValve.Deceleration.Value())/9.80665, 0.005)
	assert.InDelta(t, 0.70, float64(high.WithoutValve.Deceleration.Value())/9.80665, 0.005)
	assert.Nil(t, r.Linings.Turns)
	words := strings.Join(r.Words(si.US), "\n")
	assert.Contains(t, words, "It is assumed")
	assert.Contains(t, words, "common practice, no source")
	set := strings.Join(balanced(t, "valves.split_slope=0.3").Words(si.US), "\n")
	assert.NotContains(t, set, "It is assumed")
}

// Where the linings' friction decides, both ends are told and where between them it turns;
// a friction that is known leaves nothing open but what a duo-servo makes of it.
func TestLiningsThatDecideWhichAxleLocksFirst(t *testing.T) {
	sets := []string{"brake.rear.kind=leading-trailing", "brake.rear.piston_diameter=7/8 in"}
	r := balanced(t, sets...)
	l := r.Linings
	require.NotNil(t, l)
	assert.Equal(t, verdict.FrontAxle, l.Low.FirstLock.Axle)
	assert.Equal(t, verdict.RearAxle, l.High.FirstLock.Axle)
	require.NotNil(t, l.Turns)
	assert.Greater(t, float64(l.Turns.RearFriction.Value()), 0.30)
	assert.Less(t, float64(l.Turns.RearFriction.Value()), 0.45)
	for _, end := range []struct {
		friction float64
		axle     verdict.Axle
	}{{0.999 * float64(l.Turns.RearFriction.Value()), verdict.FrontAxle}, {1.001 * float64(l.Turns.RearFriction.Value()), verdict.RearAxle}} {
		known := balanced(t, append(sets, flag("brake.rear.friction", si.Ratio(end.friction)))...)
		assert.Equal(t, end.axle, known.Cases[0].FirstLock.Axle)
		assert.Nil(t, known.Linings)
		require.NotNil(t, known.MoreFriction)
		assert.Contains(t, strings.Join(known.Words(si.US), "\n"), "a tenth more friction")
	}
	assert.Contains(t, strings.Join(r.Words(si.US), "\n"), "That decides which axle locks first")

	given := balanced(t, append(sets, "brake.rear.friction=0.36 ± 0.02")...)
	require.NotNil(t, given.Linings)
	assert.InDelta(t, 0.34, float64(given.Linings.Low.RearFriction.Value()), 1e-9)
	assert.InDelta(t, 0.38, float64(given.Linings.High.RearFriction.Value()), 1e-9)

	servo := balanced(t, "brake.rear.friction=0.35").Linings
	require.NotNil(t, servo, "no published factor")
	assert.InDelta(t, 3, float64(servo.Low.RearFactor.Value()), 1e-6)
	assert.InDelta(t, 5, float64(servo.High.RearFactor.Value()), 1e-6)
	assert.Nil(t, balanced(t, "brake.rear.shoe_factor=4").Linings)
	assert.Nil(t, balanced(t, "brake.rear.kind=disc").Linings)
}

func TestResidualValves(t *testing.T) {
	words := func(sets ...string) string {
		r := balanced(t, sets...)
		return strings.Join(append(residualWords(verdict.FrontAxle, &r.config.Car, si.US), residualWords(verdict.RearAxle, &r.config.Car, si.US)...), "\n")
	}
	assert.Empty(t, words(), "drums without one are no fault")
	right := words("valves.residual_front=2 psi")
	assert.Contains(t, right, "2 psi in the front line: right")
	assert.NotContains(t, right, "drag")
	wrong := words("valves.residual_front=10 psi")
	assert.Contains(t, wrong, "10 psi in the front line")
	assert.Contains(t, wrong, "classic mistake")
	assert.Contains(t, wrong, "The pads drag with the pedal free, here with 25 lbf")
	assert.Contains(t, wrong, "Take the residual valve out of that port")
	drums := words("valves.residual=10 psi")
	assert.Contains(t, drums, "10 psi in the rear line: it does not brake")
	assert.Equal(t, drums, words("valves.residual_rear=10 psi"), "two words for one valve")
	assert.Contains(t, words("valves.residual=10 psi", "brake.rear.kind=disc"), "classic mistake")
}
