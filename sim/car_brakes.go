package sim

import (
	"math"

	"kneepoint/sim/si"
)

const gravity = 9.80665

// torque returns the brake torque of one axle in N m for each Pa at the wheels.
// A disc's pads grip from both sides; a drum's shoe factor holds the friction.
func (b *Brake) torque() float64 {
	factor := 2 * float64(b.Friction)
	if b.Kind.IsDrum() {
		factor = float64(b.Factor())
	}
	return 2 * float64(b.PistonArea) * factor * float64(b.Radius)
}

// Factor returns a drum's shoe factor, the given one or that of its kind and
// friction; for a disc, 0.
func (b *Brake) Factor() si.Ratio {
	if b.Kind.IsDrum() && b.ShoeFactor != 0 {
		return b.ShoeFactor
	}
	return b.Kind.ShoeFactor(b.Friction)
}

// WithFriction returns the brake with linings of the given share of their
// friction, 1 for the same. A disc's torque goes with it, a drum's shoe factor as
// [BrakeKind.ShoeFactor] says; where the factor was given, from the friction that
// gives it in a brake of the kind.
func (b Brake) WithFriction(share si.Ratio) Brake {
	if b.Kind.IsDrum() && b.ShoeFactor != 0 {
		b.ShoeFactor = b.Kind.ShoeFactor(b.Kind.Friction(b.ShoeFactor) * share)
	}
	b.Friction *= share
	return b
}

// BrakeForces returns the brake force at the road of each axle at the given
// pressures in the front and the rear circuit, without regard to adhesion.
func (c *Car) BrakeForces(front, rear si.Pressure) (f, r si.Force) {
	atFront, _ := c.frontGrip(float64(front))
	atRear, _ := c.rearGrip(float64(rear))
	return si.Force(atFront * c.FrontBrake.torque() / float64(c.TyreRadius)),
		si.Force(atRear * c.RearBrake.torque() / float64(c.TyreRadius))
}

// AxleLoads returns what the front and the rear axle carry while the car slows:
// weight moves forward by deceleration × height of the centre of mass / wheelbase.
// The rear axle carries nothing once it has lifted.
func (c *Car) AxleLoads(a si.Acceleration) (front, rear si.Force) {
	r := max(0, gravity*(1-float64(c.FrontShare))-float64(a)*c.transfer())
	return si.Force(float64(c.Mass) * (gravity - r)), si.Force(float64(c.Mass) * r)
}

// locks reports which axles' wheels are locked at the given circuit pressures: their
// brakes ask for more than the road holds with the load that is on them then.
func (c *Car) locks(front, rear si.Pressure) (f, r bool) {
	byFront, byRear := c.BrakeForces(front, rear)
	onFront, onRear := c.AxleLoads(c.Deceleration(front, rear))
	return byFront > si.Force(c.Adhesion)*onFront, byRear > si.Force(c.Adhesion)*onRear
}

func (c *Car) transfer() float64 { return float64(c.CentreHeight) / float64(c.Wheelbase) }

// Deceleration returns that of the car at the given circuit pressures. Each axle
// gives what its brakes do, and no more than adhesion × the load on it; the load
// moves with the deceleration. One axle may be locked while the other goes on.
func (c *Car) Deceleration(front, rear si.Pressure) si.Acceleration {
	a, _, _ := c.deceleration(float64(front), float64(rear), 0)
	return si.Acceleration(a)
}

// slidingShare is the adhesion of a locked wheel over the most there is: 0.75 over
// 0.9 (dry asphalt: later studies' mean locked 0.72 to 0.78, mfes.com/friction.html,
// secondary copy; peak of the dry surface of the federal brake tests 0.9, Federal
// Register 86, no. 148, secondary copy; two roads, so an estimate).
const slidingShare = 0.83

// SlidingOf returns the usual adhesion of a locked wheel where the most there is is
// given (estimate).
func SlidingOf(adhesion si.Ratio) si.Ratio { return slidingShare * adhesion }

// SlidingDeceleration returns that of the car with all wheels locked.
func (c *Car) SlidingDeceleration() si.Acceleration {
	return si.Acceleration(gravity * float64(c.SlidingAdhesion))
}

// lockRounding is the share of an axle's adhesion over which the corner at locking is
// rounded for a driver who seeks a deceleration, since an integrator steps over a
// corner badly.
const lockRounding = 0.02

// gripped returns the force of an axle whose brakes ask for b where the road
// bears l at most, with its slopes by both.
func gripped(b, l, rounding float64) (force, byBrake, byLimit float64) {
	switch {
	case l <= 0:
		return 0, 0, 0
	case b <= l*(1-rounding):
		return b, 1, 0
	}
	u := b / l
	share := 1 - ramp(1-u, rounding)
	slope := rampSlope(1-u, rounding)
	return l * share, slope, share - u*slope
}

// deceleration solves a = front(a) + rear(a), in m/s², where each axle's force
// for each kg is limited by a load that moves with a, the corner there rounded over a
// share of it; it returns the slopes by the circuits' pressures.
func (c *Car) deceleration(front, rear, rounding float64) (a, byFront, byRear float64) {
	perMass := 1 / (float64(c.TyreRadius) * float64(c.Mass))
	pf, pfSlope := c.frontGrip(front)
	pr, prSlope := c.rearGrip(rear)
	kf, kr := c.FrontBrake.torque()*perMass, c.RearBrake.torque()*perMass
	f, r := kf*pf, kr*pr
	if f+r <= 0 {
		return 0, 0, 0
	}
	mu, moved := float64(c.Adhesion), c.transfer()
	rest := gravity * (1 - float64(c.FrontShare))
	low, high := 0.0, mu*gravity
	a = min(f+r, high)
	var slope, bySoughtF, bySoughtR float64
	for range 50 {
		load := max(0, rest-a*moved)
		shift := moved
		if load == 0 {
			shift = 0
		}
		gf, gfByF, gfByL := gripped(f, mu*(gravity-load), rounding)
		gr, grByR, grByL := gripped(r, mu*load, rounding)
		miss := gf + gr - a
		slope = 1 - mu*shift*(gfByL-grByL)
		bySoughtF, bySoughtR = gfByF, grByR
		if miss > 0 {
			low = a
		} else {
			high = a
		}
		next := a + miss/slope
		if !(next >= low && next <= high) {
			next = (low + high) / 2
		}
		if math.Abs(next-a) <= 1e-14*gravity {
			break
		}
		a = next
	}
	slope = max(slope, 1e-3) // 0 only where an axle is about to lift
	return a, bySoughtF * kf * pfSlope / slope, bySoughtR * kr * prSlope / slope
}
