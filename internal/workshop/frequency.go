package workshop

import "kneepoint/sim"

// A frequency is how often a fault is there, against one of which nothing is known, 1, and
// what says so.
type frequency struct {
	often  float64
	source string
}

// What was counted are defects found at inspections and claims, not complaints about a pedal
// that some booster helps: of every ratio the square root is taken (estimate).
const (
	wheels1970s = "1000 cars in use, TRRL report LR 803: 28 % with wheels out of adjustment, 40 % with all other brake defects together; published abstract"
	yearlyTests = "British yearly tests, shares of brake records: hydraulic component 21 %, worn linings 23 %, rigid pipe 7 %, flexible hose 2 %, pedal 0.6 %; secondary copy"
	makersOrder = "a maker's order of likelihood for a hard pedal, vacuum leak last; another: first the check valve, then the booster; published text"
	guessed     = "estimate"
)

// frequencies are those of the faults that somebody has counted, or put in order; all others
// are 1, an estimate. No inspection looks into a booster, so that none counts its faults.
var frequencies = map[sim.FaultName]frequency{
	sim.FaultShoesOutOfAdjustment: {3.5, wheels1970s},
	sim.FaultLiningsGlazed:        {2, yearlyTests}, // worn ones are counted, glazed ones are part of them
	sim.FaultOutsideLeak:          {1.5, yearlyTests},
	sim.FaultHoseSwollen:          {0.5, yearlyTests},
	sim.FaultHoseBlocked:          {0.5, yearlyTests},
	sim.FaultPedalBinds:           {0.4, yearlyTests},
	sim.FaultFrontShellLeak:       {0.5, makersOrder},
	sim.FaultHoseLeak:             {0.7, makersOrder},
	sim.FaultCheckValveLeak:       {1.2, makersOrder},
}

// Frequency is how often a fault is there before anything is read, against one of which
// nothing is known, and what says so.
func Frequency(name sim.FaultName) (often float64, source string) {
	if f, counted := frequencies[name]; counted {
		return f.often, f.source
	}
	return 1, guessed
}
