package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"kneepoint/sim/si"
)

// exampleShoe is that of problem 16-1 in Shigley's Mechanical Engineering Design
// (secondary copy of problem and solution): drum radius 150 mm, hinge at 125 mm, lining
// from 0 to 120° of the hinge and 40 mm wide, push 2·125·cos 30° mm from the hinge.
func exampleShoe() (s shoe, radius, width float64) {
	const r = 0.150
	return geometry{hinge: 0.125 / r, arm: 2 * 0.125 * math.Cos(math.Pi/6) / r, from: 0, to: 2 * math.Pi / 3}.shoe(), r, 0.040
}

// With 2.2 kN on each shoe and a friction of 0.28 the solution has 734 kPa on the leading
// shoe's lining (secondary copy). The torques, 277.6 and 144.4 N m, were worked out apart
// from this program, by the same equations.
func TestLongShoeOfAWorkedExample(t *testing.T) {
	s, r, b := exampleShoe()
	const push, mu = 2200, 0.28
	assert.InDelta(t, 734e3, s.pressure(mu)*push/(b*r), 0.5e3)
	assert.InDelta(t, 277.6, s.leading(mu)*push*r, 0.05)
	assert.InDelta(t, 144.4, s.trailing(mu)*push*r, 0.05)
}

// The lining's pressure goes with the sine of the angle from the hinge. Its moments and
// the drum's torque are summed up here element by element, over linings that end anywhere,
// and must hold the push in balance.
func TestLongShoeAgainstASumOverTheLining(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string, from, to float64) float64 { return rapid.Float64Range(from, to).Draw(t, name) }
		g := geometry{hinge: draw("hinge", 0.6, 0.95), arm: draw("arm", 1, 1.8), from: draw("from", 0, 0.6), to: draw("to", 1.7, 2.8)}
		s, mu := g.shoe(), draw("friction", 0.1, 0.5)
		for sense, torque := range map[float64]float64{1: s.leading(mu), -1: s.trailing(mu)} {
			p := s.pressure(sense * mu)
			const parts = 20000
			moment, drag := 0.0, 0.0
			for i := range parts {
				at := g.from + (g.to-g.from)*(float64(i)+0.5)/parts
				// The element lies at this place, the hinge at (hinge, 0); the drum pushes
				// it inwards and drags it towards the hinge, or away.
				x, y := math.Cos(at)-g.hinge, math.Sin(at)
				n := p * math.Sin(at) * (g.to - g.from) / parts
				fx, fy := -n*math.Cos(at)+sense*mu*n*math.Sin(at), -n*math.Sin(at)-sense*mu*n*math.Cos(at)
				moment += x*fy - y*fx
				drag += mu * n
			}
			assert.InDelta(t, g.arm, moment, 1e-6*max(1, math.Abs(p)))
			assert.InEpsilon(t, torque, drag, 1e-6)
		}
	})
}

// Torque over push × radius of the example's geometry at several frictions, of a leading
// and a trailing shoe and of two leading ones, worked out apart from this program from the
// same published equations.
func TestShoeFactors(t *testing.T) {
	for _, want := range []struct{ mu, leadingTrailing, twoLeading float64 }{
		{0.28, 1.279, 1.683}, {0.30, 1.393, 1.864}, {0.35, 1.705, 2.377}, {0.40, 2.065, 2.996}, {0.45, 2.492, 3.757},
	} {
		mu := si.Ratio(want.mu)
		assert.InDelta(t, want.leadingTrailing, float64(BrakeLeadingTrailing.ShoeFactor(mu)), 1e-3, "%v", mu)
		assert.InDelta(t, want.twoLeading, float64(BrakeTwoLeading.ShoeFactor(mu)), 1e-3, "%v", mu)
		assert.Equal(t, BrakeLeadingTrailing.ShoeFactor(mu), BrakeDrum.ShoeFactor(mu), "another word for it")
		assert.Zero(t, BrakeDisc.ShoeFactor(mu))
	}
}

// From a friction of 0.30 to 0.40 a disc brakes 33 % more, a leading and a trailing shoe
// 48 %, two leading ones 61 % (from the same table).
func TestDrumsGrowFasterThanTheirFriction(t *testing.T) {
	growth := func(kind BrakeKind) float64 {
		low := Brake{Kind: kind, PistonArea: 1e-3, Radius: 0.1, Friction: 0.30}
		high := low
		high.Friction = 0.40
		return high.torque()/low.torque() - 1
	}
	assert.InDelta(t, 0.333, growth(BrakeDisc), 0.001)
	assert.InDelta(t, 0.48, growth(BrakeLeadingTrailing), 0.005)
	assert.InDelta(t, 0.61, growth(BrakeTwoLeading), 0.005)
	assert.Greater(t, growth(BrakeDuoServo), growth(BrakeTwoLeading))
}

// Duo-servo brakes are said to have a factor of 3 to 5 at a friction of about 0.35, and
// their second shoe to do about 75 % of the work (common practice, no source).
func TestDuoServoLiesWhereItIsSaidTo(t *testing.T) {
	factor := BrakeDuoServo.ShoeFactor(0.35)
	assert.GreaterOrEqual(t, float64(factor), 3.0)
	assert.LessOrEqual(t, float64(factor), 5.0)
	first := usualShoe.leading(0.35)
	second := 1 - first/float64(factor)
	assert.InDelta(t, 0.75, second, 0.05)
	t.Logf("factor %.2f, second shoe %.1f %%", float64(factor), 100*second)
}

// At any friction the kinds keep their order, each factor grows with friction, and the
// friction is found again.
func TestShoeFactorsInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mu := si.Ratio(rapid.Float64Range(0.02, 0.7).Draw(t, "friction"))
		assert.Less(t, BrakeLeadingTrailing.ShoeFactor(mu), BrakeTwoLeading.ShoeFactor(mu))
		assert.Less(t, BrakeTwoLeading.ShoeFactor(mu), BrakeDuoServo.ShoeFactor(mu))
		for _, k := range []BrakeKind{BrakeLeadingTrailing, BrakeTwoLeading, BrakeDuoServo} {
			assert.Less(t, k.ShoeFactor(mu), k.ShoeFactor(mu+0.01))
			assert.InEpsilon(t, float64(mu), float64(k.Friction(k.ShoeFactor(mu))), 1e-9)
		}
	})
}

func TestBrakeWithOtherLinings(t *testing.T) {
	b := Brake{Kind: BrakeLeadingTrailing, Friction: 0.35}
	assert.Equal(t, BrakeLeadingTrailing.ShoeFactor(0.35*1.1), func() si.Ratio { more := b.WithFriction(1.1); return more.Factor() }())

	// A factor that was given says what the friction must be.
	for _, kind := range []BrakeKind{BrakeLeadingTrailing, BrakeTwoLeading, BrakeDuoServo} {
		given := Brake{Kind: kind, Friction: 0.1, ShoeFactor: 3}
		same, more := given.WithFriction(1), given.WithFriction(1.1)
		assert.InEpsilon(t, 3, float64(same.Factor()), 1e-9)
		assert.Greater(t, float64(more.Factor()), 3*1.1)
		grabbing := given.WithFriction(100)
		assert.Less(t, float64(grabbing.Factor()), 1e4, "as far as it goes")
	}
	disc := Brake{Kind: BrakeDisc, Friction: 0.35}.WithFriction(1.1)
	assert.InEpsilon(t, 0.385, float64(disc.Friction), 1e-12)
	assert.Zero(t, disc.Factor())
}
