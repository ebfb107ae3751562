package sim

import "kneepoint/sim/si"

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

// RearPressure returns the pressure behind the proportioning valve: equal up to
// the split, a share of the rest beyond.
func (c *Car) RearPressure(line si.Pressure) si.Pressure {
	if line <= c.SplitPressure {
		return line
	}
	return c.SplitPressure + si.Pressure(c.SplitSlope)*(line-c.SplitPressure)
}

// BrakeForces returns the brake force at the road of each axle at the given
// pressures in the front and the rear circuit, without regard to adhesion.
func (c *Car) BrakeForces(front, rear si.Pressure) (f, r si.Force) {
	gripping := max(0, front-c.HoldOff)
	behind := max(0, c.RearPressure(rear))
	return si.Force(float64(gripping) * c.FrontBrake.torque() / float64(c.TyreRadius)),
		si.Force(float64(behind) * c.RearBrake.torque() / float64(c.TyreRadius))
}

// Deceleration returns that of the car at the given circuit pressures, not more
// than the adhesion allows.
func (c *Car) Deceleration(front, rear si.Pressure) si.Acceleration {
	a, _, _ := c.deceleration(float64(front), float64(rear))
	return si.Acceleration(a)
}

func (c *Car) deceleration(front, rear float64) (a, byFront, byRear float64) {
	f, r := c.BrakeForces(si.Pressure(front), si.Pressure(rear))
	a = float64(f+r) / float64(c.Mass)
	limit := float64(c.Adhesion) * gravity
	if a >= limit {
		return limit, 0, 0
	}
	perMass := 1 / (float64(c.TyreRadius) * float64(c.Mass))
	if front > float64(c.HoldOff) {
		byFront = c.FrontBrake.torque() * perMass
	}
	if rear > 0 {
		byRear = c.RearBrake.torque() * perMass
		if rear > float64(c.SplitPressure) {
			byRear *= float64(c.SplitSlope)
		}
	}
	return a, byFront, byRear
}
