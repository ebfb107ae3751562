package verdict

import (
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// A FirstLock is where the first axle asks for all the adhesion there is: the hardest
// stop that this car makes on its road with every wheel turning. The axle is NoAxle,
// and the figures do not exist, where the brakes are too small to lock anything.
type FirstLock struct {
	Axle         Axle                             `json:"axle"`
	Deceleration answer.Optional[si.Acceleration] `json:"deceleration_mps2"`
	Line         answer.Optional[si.Pressure]     `json:"line_pa"`
	// Pedal is the force that gives this line pressure in a stop with the engine idling.
	Pedal answer.Optional[si.Force] `json:"pedal_n"`
}

// FirstLock finds it; the pedal force is for who presses to say.
func (r Road) FirstLock() FirstLock {
	line := r.LineFor(Locked(r.Car.Adhesion))
	lock := FirstLock{Line: line}
	if !line.Exists() {
		return lock
	}
	b := r.At(line.Value())
	lock.Deceleration = answer.Of(b.Deceleration)
	lock.Axle = b.First()
	return lock
}

// sameWithin is the share by which a demand may pass the first lock and still count
// as the same stop: the rounding of who copied the figure.
const sameWithin = 1e-3

// Allows reports whether the car can slow so without locking a wheel.
func (l FirstLock) Allows(a si.Acceleration) bool {
	return !l.Deceleration.Exists() || float64(a) <= float64(l.Deceleration.Value())*(1+sameWithin)
}
