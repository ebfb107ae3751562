package web

import (
	"kneepoint/sim"
	"kneepoint/sim/si"
)

// A lessonSetup is what the lessons ask of the program: the forces of a foot that count as
// easy and heavy, how pupils look for a fault, and which ones a teacher's number hides.
type lessonSetup struct {
	Easy     si.Force        `json:"easy_n"`
	Heavy    si.Force        `json:"heavy_n"`
	Bench    []benchStep     `json:"bench"`
	Findable []sim.FaultName `json:"findable"`
}

// A benchStep is a part of the bench test by which pupils find a hidden fault: the foot
// goes to each force in turn with the engine so, and then figures of the frame are read.
type benchStep struct {
	When   string          `json:"when"`
	Engine sim.EngineState `json:"engine"`
	Moves  []benchMove     `json:"moves"`
	Reads  []benchReading  `json:"reads"`
}

// A benchMove takes the foot to a force in a straight line.
type benchMove struct {
	To    si.Force `json:"to_n"`
	Takes si.Time  `json:"takes_s"`
}

// A benchReading is a figure of the frame, by its key there, and the least difference
// that a pupil notices in it (estimates).
type benchReading struct {
	Key    string  `json:"key"`
	Name   string  `json:"name"`
	Unit   string  `json:"unit"`
	Notice float64 `json:"notice"` // SI
}

var (
	readVacuum  = benchReading{"front_vacuum_pa", "vacuum", "vacuum", 1.7e3}
	readLine    = benchReading{"line_front_pa", "front line", "pressure", 70e3}
	readTravel  = benchReading{"pedal_travel_m", "pedal travel", "length", 5e-3}
	readSlowing = benchReading{"deceleration_mps2", "slowing", "acceleration", 0.49}
)

// benchForce is a firm foot, below the knee of a sound car with a usual booster.
const benchForce si.Force = 100

var bench = []benchStep{
	{"at rest", sim.EngineIdle, nil, []benchReading{readVacuum, readLine}},
	{"just pressed", sim.EngineIdle, []benchMove{{benchForce, 0.3}}, []benchReading{readVacuum, readLine}},
	{"held 2 s", sim.EngineIdle, []benchMove{{benchForce, 2}}, []benchReading{readLine, readTravel, readSlowing}},
	{"let go", sim.EngineIdle, []benchMove{{0, 0.3}, {0, 0.7}}, []benchReading{readVacuum, readLine}},
	{"engine off, 10 s later", sim.EngineOff, []benchMove{{0, 10}}, []benchReading{readVacuum}},
}

// findable are the faults that a teacher's number hides: each, as the page first sets it,
// reads otherwise on the bench than a sound car and than every other of them.
var findable = []sim.FaultName{
	sim.FaultLowSourceVacuum, sim.FaultHoseRestricted, sim.FaultCheckValveLeak, sim.FaultDiaphragmTorn,
	sim.FaultAirSeatLeak, sim.FaultFilterBlocked, sim.FaultBoreOversize, sim.FaultPedalRatioWrong,
	sim.FaultPushrodTooShort, sim.FaultMasterBypass, sim.FaultReturnPortCovered, sim.FaultAirInCircuit,
	sim.FaultHoseBlocked, sim.FaultLineBlocked, sim.FaultLiningsGlazed,
}
