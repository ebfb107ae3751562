package sim

import (
	"math"

	"kneepoint/sim/si"
)

// This file is the statics of a rigid shoe in a drum: the long-shoe form, in which the
// lining's pressure goes with the sine of the angle from the hinge. The integrals are
// those of the Cambridge Engineering Department's teaching pages on long shoes, equations
// 9 and 10 (published text).

// A geometry is that of one shoe, in shares of the drum's radius: what a shoe makes of a
// push depends on proportions and angles only.
type geometry struct {
	// hinge is the distance of the hinge from the drum's centre, arm that of the push
	// from the hinge.
	hinge, arm float64
	// from and to are the lining's ends, in radians from the hinge. The lining reaches
	// past 90°, where its pressure is greatest.
	from, to float64
}

// usualShoe has the proportions of problem 16-1 of Shigley's Mechanical Engineering
// Design (secondary copy): hinge at 125 mm in a drum of 150 mm, 120° of lining from the
// hinge on, and a push that lies as far from the drum's centre as the hinge. That other
// drums are like it is an estimate; a shoe factor that is known is better.
var usualShoe = geometry{hinge: 125.0 / 150, arm: 2 * 125.0 / 150 * math.Cos(math.Pi/6), to: 2 * math.Pi / 3}.shoe()

// A shoe holds, for one unit of greatest lining pressure × width × radius², the moments
// about the hinge of the lining's pressure and, with μ = 1, of its friction, and the
// torque on the drum with μ = 1.
type shoe struct{ pressing, rubbing, torque, arm float64 }

func (g geometry) shoe() shoe {
	sines := math.Cos(g.from) - math.Cos(g.to)
	squares := (2*(g.to-g.from) - math.Sin(2*g.to) + math.Sin(2*g.from)) / 4
	products := (math.Cos(2*g.from) - math.Cos(2*g.to)) / 4
	return shoe{g.hinge * squares, sines - g.hinge*products, sines, g.arm}
}

// pressure returns the lining's greatest pressure × width × radius over the push on a
// shoe; μ counts positive where the drum's rotation turns the shoe into the drum.
func (s shoe) pressure(mu float64) float64 { return s.arm / (s.pressing - mu*s.rubbing) }

// leading returns the torque over push × radius of a shoe that the rotation turns into the
// drum, trailing that of one that it turns away.
func (s shoe) leading(mu float64) float64  { return mu * s.torque * s.pressure(mu) }
func (s shoe) trailing(mu float64) float64 { return mu * s.torque * s.pressure(-mu) }

// locking is the friction at which a leading shoe holds the drum without a push.
func (s shoe) locking() float64 { return s.pressing / s.rubbing }

// servo returns the torque of both shoes over push × radius of a duo-servo brake. The
// first shoe floats: what the drum puts on it goes on, through the adjuster, to the second,
// which stands against the anchor. Moments of the first about the drum's centre, push and
// adjuster lying equally far from it, half the arm, give the push on the second: that on
// the first plus the first's torque over that distance.
func (s shoe) servo(mu float64) float64 {
	first := s.leading(mu)
	return first + first*(1+first/(s.arm/2))
}

// IsDrum reports whether the brake has shoes.
func (k BrakeKind) IsDrum() bool { return k != BrakeDisc }

// ShoeFactor returns the drag force over the piston force, of both shoes together, of a
// drum brake of the kind whose linings have the friction; for a disc, 0. It grows faster
// than the friction, the faster the more the shoes help each other, and without bound
// towards 0.89, where a leading shoe holds the drum by itself. The shoes' geometry is an
// estimate. No published factor of a duo-servo brake was found: its form follows from the
// shoes' moments, and gives 4.3 at 0.35, where 3 to 5 is common practice, no source.
func (k BrakeKind) ShoeFactor(friction si.Ratio) si.Ratio {
	mu := min(float64(friction), grabbing*usualShoe.locking())
	switch k {
	case BrakeDisc:
		return 0
	case BrakeTwoLeading:
		return si.Ratio(2 * usualShoe.leading(mu))
	case BrakeDuoServo:
		return si.Ratio(usualShoe.servo(mu))
	default:
		return si.Ratio(usualShoe.leading(mu) + usualShoe.trailing(mu))
	}
}

// grabbing is the share of the friction at which a leading shoe locks by itself that a
// lining is let come to.
const grabbing = 0.95

// Friction returns the friction of linings with which a drum brake of the kind has the
// shoe factor: the inverse of [BrakeKind.ShoeFactor].
func (k BrakeKind) Friction(factor si.Ratio) si.Ratio {
	low, high := 0.0, grabbing*usualShoe.locking()
	const halvings = 60
	for range halvings {
		if mid := (low + high) / 2; k.ShoeFactor(si.Ratio(mid)) < factor {
			low = mid
		} else {
			high = mid
		}
	}
	return si.Ratio((low + high) / 2)
}
