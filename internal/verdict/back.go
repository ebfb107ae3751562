package verdict

import "kneepoint/sim/si"

// BackShare is the share of the vacuum before a stop that counts as back, in the
// booster and in the tank (estimate).
const BackShare = 0.95

// RechargeMost is the time after which vacuum counts as never coming back.
const RechargeMost si.Time = 300

// Traffic is one stop after another in town: so many, one every so often (estimate).
const (
	TrafficStops         = 10
	TrafficEvery si.Time = 10
)
