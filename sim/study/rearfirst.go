package study

import (
	"fmt"

	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// smallerRear is the advice for a car whose rear wheels lock first whatever valve it has.
const smallerRear = "fit smaller rear brakes or larger front ones before the car is driven hard"

// RearFirstRemedy says what keeps the front wheels of a car first whose rear wheels lock
// first.
func RearFirstRemedy(car sim.Car, u si.System) string {
	v := neededValve(car)
	if !v.Possible {
		return noValveHelps
	}
	return fmt.Sprintf("A proportioning valve that splits at %s or lower puts that right.", pressure(v.SplitPressure.Value(), u))
}

const noValveHelps = "No proportioning valve puts that right: the rear brakes are too large for this car, or the front ones too small."

// rearFirstNext is what to do about it.
func rearFirstNext(car sim.Car) (string, answer.Command) {
	if !neededValve(car).Possible {
		return smallerRear, answer.Command{}
	}
	return seeBalance, toBalance
}
