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
	if b.Kind == Drum {
		factor = float64(b.ShoeFactor)
	}
	return 2 * float64(b.PistonArea) * factor * float64(b.Radius)
}

// WithFriction returns the brake with linings of the given share of their
// friction, 1 for the same.
//
// A disc's torque goes with the friction. A drum's goes with more than that,
// because the friction turns the leading shoe into the drum. Moments about the
// pivot of a shoe that is pushed at twice the distance of the lining's middle
// give a drag of 2μ/(1-μ) times the push for the leading shoe and 2μ/(1+μ) for
// the trailing one, together the shoe factor C = 4μ/(1-μ²): near C = 2 a tenth
// more friction gives some 14 % more drag. The form is that of the texts on
// drum brakes; the distances are an estimate, and a duo-servo brake, in which
// one shoe pushes the other, moves more still.
func (b Brake) WithFriction(share si.Ratio) Brake {
	b.Friction *= share
	if b.Kind == Drum {
		c := float64(b.ShoeFactor)
		mu := (math.Sqrt(4+c*c) - 2) / c // the root of C = 4μ/(1-μ²) below 1
		mu = min(mu*float64(share), grabbing)
		b.ShoeFactor = si.Ratio(4 * mu / (1 - mu*mu))
	}
	return b
}

// grabbing keeps the friction of a drum's linings below 1, at which the leading
// shoe would lock by itself.
const grabbing = 0.95

// BrakeForces returns the brake force at the road of each axle at the given
// pressures in the front and the rear circuit, without regard to adhesion.
func (c *Car) BrakeForces(front, rear si.Pressure) (f, r si.Force) {
	gripping, _ := c.metered(float64(front))
	behind, _ := c.proportioned(float64(rear))
	return si.Force(max(0, gripping) * c.FrontBrake.torque() / float64(c.TyreRadius)),
		si.Force(max(0, behind) * c.RearBrake.torque() / float64(c.TyreRadius))
}

// AxleLoads returns what the front and the rear axle carry while the car slows:
// weight moves forward by deceleration × height of the centre of mass / wheelbase.
// The rear axle carries nothing once it has lifted.
func (c *Car) AxleLoads(a si.Acceleration) (front, rear si.Force) {
	r := max(0, gravity*(1-float64(c.FrontShare))-float64(a)*c.transfer())
	return si.Force(float64(c.Mass) * (gravity - r)), si.Force(float64(c.Mass) * r)
}

func (c *Car) transfer() float64 { return float64(c.CentreHeight) / float64(c.Wheelbase) }

// Deceleration returns that of the car at the given circuit pressures. Each axle
// gives what its brakes do, and no more than adhesion × the load on it; the load
// moves with the deceleration. One axle may be locked while the other goes on.
func (c *Car) Deceleration(front, rear si.Pressure) si.Acceleration {
	a, _, _ := c.deceleration(float64(front), float64(rear))
	return si.Acceleration(a)
}

// lockRounding is the share of an axle's adhesion below which its force is
// exactly that of its brakes; the corner at locking is rounded over it.
const lockRounding = 0.02

// gripped returns the force of an axle whose brakes ask for b where the road
// bears l at most, with its slopes by both.
func gripped(b, l float64) (force, byBrake, byLimit float64) {
	if l <= 0 {
		return 0, 0, 0
	}
	u := b / l
	share := 1 - ramp(1-u, lockRounding)
	slope := rampSlope(1-u, lockRounding)
	return l * share, slope, share - u*slope
}

// deceleration solves a = front(a) + rear(a), in m/s², where each axle's force
// for each kg is limited by a load that moves with a; it returns the slopes by
// the circuits' pressures.
func (c *Car) deceleration(front, rear float64) (a, byFront, byRear float64) {
	perMass := 1 / (float64(c.TyreRadius) * float64(c.Mass))
	pf, pfSlope := c.metered(front)
	pr, prSlope := c.proportioned(rear)
	kf, kr := c.FrontBrake.torque()*perMass, c.RearBrake.torque()*perMass
	f, r := kf*max(0, pf), kr*max(0, pr)
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
		gf, gfByF, gfByL := gripped(f, mu*(gravity-load))
		gr, grByR, grByL := gripped(r, mu*load)
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
	if front > 0 {
		byFront = bySoughtF * kf * pfSlope / slope
	}
	if rear > 0 {
		byRear = bySoughtR * kr * prSlope / slope
	}
	return a, byFront, byRear
}
