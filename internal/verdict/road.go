package verdict

import (
	"math"

	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// An Axle is the front or the rear one, or none.
type Axle string

// The axles of a car.
const (
	NoAxle    Axle = ""
	FrontAxle Axle = "front"
	RearAxle  Axle = "rear"
	BothAxles Axle = "both"
)

// MarshalJSON writes the axle's name, or null.
func (a Axle) MarshalJSON() ([]byte, error) {
	if a == NoAxle {
		return []byte("null"), nil
	}
	return []byte(`"` + a + `"`), nil
}

// Lock says in words which wheels lock: "the front wheels lock".
func (a Axle) Lock() string {
	switch a {
	case FrontAxle:
		return "the front wheels lock"
	case RearAxle:
		return "the rear wheels lock"
	}
	return "all wheels lock at once"
}

// A Road is a car on its road, with the circuits of it that work.
type Road struct {
	Car *sim.Car
	// NoFront and NoRear say that an axle's brakes get no pressure.
	NoFront, NoRear bool
}

// RoadOf returns the car of a configuration; a single master cylinder with one circuit
// lost brakes nothing.
func RoadOf(c *sim.Config) Road {
	r := Road{Car: &c.Car, NoFront: c.Front.Lost, NoRear: c.Rear.Lost}
	if c.Master.Circuits == sim.MasterSingle && (r.NoFront || r.NoRear) {
		r.NoFront, r.NoRear = true, true
	}
	return r
}

// A Braking is the car braked by one line pressure with no wheel locked.
type Braking struct {
	Line         si.Pressure     `json:"line_pa"`
	Deceleration si.Acceleration `json:"deceleration_mps2"`
	FrontLoad    si.Force        `json:"front_load_n"`
	RearLoad     si.Force        `json:"rear_load_n"`
	FrontForce   si.Force        `json:"front_force_n"`
	RearForce    si.Force        `json:"rear_force_n"`
	// FrontAdhesion and RearAdhesion are what each axle uses: its brake force
	// over its load, the form of UN R13-H, annex 5 (from memory).
	FrontAdhesion si.Ratio    `json:"front_adhesion"`
	RearAdhesion  si.Ratio    `json:"rear_adhesion"`
	RearLine      si.Pressure `json:"rear_line_pa"`
}

// Rate is the deceleration in g, the braking rate of the regulations.
func (b Braking) Rate() float64 { return float64(b.Deceleration) / float64(si.StandardGravity) }

// Most is the greater of what the two axles use.
func (b Braking) Most() si.Ratio { return max(b.FrontAdhesion, b.RearAdhesion) }

// equalWithin is the difference in adhesion used that tells one axle from the other.
const equalWithin = 1e-9

// First is the axle that uses more of the adhesion.
func (b Braking) First() Axle {
	switch d := float64(b.FrontAdhesion - b.RearAdhesion); {
	case math.Abs(d) < equalWithin:
		return BothAxles
	case d > 0:
		return FrontAxle
	}
	return RearAxle
}

// At brakes the car by one line pressure, the same in both circuits.
func (r Road) At(line si.Pressure) Braking {
	front, rear := line, line
	if r.NoFront {
		front = 0
	}
	if r.NoRear {
		rear = 0
	}
	f, b := r.Car.BrakeForces(front, rear)
	a := si.Acceleration(float64(f+b) / float64(r.Car.Mass))
	nf, nr := r.Car.AxleLoads(a)
	p := Braking{
		Line: line, Deceleration: a, FrontLoad: nf, RearLoad: nr, FrontForce: f, RearForce: b,
		FrontAdhesion: si.Ratio(f / nf), RearAdhesion: si.Ratio(b / nr), RearLine: r.Car.RearPressure(rear),
	}
	if nr <= 0 { // the rear axle has lifted
		p.RearAdhesion = si.Ratio(math.Inf(1))
		if b == 0 {
			p.RearAdhesion = 0
		}
	}
	return p
}

// MostLine is the line pressure, in Pa, at which brakes too small for something are
// given up.
const MostLine si.Pressure = 60e6

const lineWithin = 1.0 // Pa

// LineFor returns the lowest line pressure at which something that grows with it
// holds, or none up to [MostLine].
func (r Road) LineFor(holds func(Braking) bool) answer.Optional[si.Pressure] {
	low, high := 0.0, float64(MostLine)
	if holds(r.At(0)) {
		return answer.Of(si.Pressure(0))
	}
	if !holds(r.At(MostLine)) {
		return answer.None[si.Pressure]()
	}
	for high-low > lineWithin {
		mid := (low + high) / 2
		if holds(r.At(si.Pressure(mid))) {
			high = mid
		} else {
			low = mid
		}
	}
	return answer.Of(si.Pressure(high))
}

// Locked says that an axle asks for all of an adhesion.
func Locked(adhesion si.Ratio) func(Braking) bool {
	return func(b Braking) bool { return b.Most() >= adhesion }
}
