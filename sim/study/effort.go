package study

import "kneepoint/sim/si"

// What it takes to change a part of the present car (estimates of workshop effort,
// only their order matters): a tank is hung up, a master cylinder and a booster are
// bought and bolted on, a pump wants wiring and a switch, and a pedal of another ratio
// has to be made.
const (
	workOfTank    = 1
	workOfBore    = 2
	workOfBooster = 2
	workOfTandem  = 1 // more, for its depth
	workOfPump    = 3
	workOfPedal   = 6
)

// work is what it takes to fit the candidate into a car with these parts and this pedal.
func (c candidate) work(present candidate, ratio si.Ratio) int {
	work := 0
	for _, kind := range c.fitted(present) {
		switch kind {
		case FitTank:
			work += workOfTank
		case FitPump:
			work += workOfPump
		case FitBore:
			work += workOfBore
		case FitBooster:
			work += workOfBooster
		case FitTandem:
			work += workOfBooster
			if len(present.booster.Diameters) < 2 {
				work += workOfTandem
			}
		case FitManual:
			if c.manualRatio != ratio {
				work += workOfPedal
			}
		}
	}
	// One has to come off, or room to be made for one.
	if c.booster.None() != present.booster.None() {
		work += workOfBooster
	}
	return work
}
