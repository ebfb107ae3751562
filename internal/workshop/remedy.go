package workshop

import "kneepoint/sim"

// A remedy is what to replace for it, what to check before
// anything is bought, and from which severity on the car must not be driven. Which faults
// forbid driving is judgement (common practice, no source); [driveable] stands for none.
type remedy struct {
	replace, check string
	parkedFrom     float64
}

// A Job is what is done about a fault: faults that are mended by the same work on the same
// part share one, and which of them it is need not be known before it is begun.
type Job string

// JobOf is the job that mends a fault: its own, where no other fault shares it.
func JobOf(name sim.FaultName) Job {
	if job, shared := jobs[name]; shared {
		return job
	}
	return Job(name)
}

// A booster that is too small is not mended by another like it, and a shell's leak is looked
// for at its grommet and seal first: they are jobs of their own.
var jobs = map[sim.FaultName]Job{
	sim.FaultCheckValveLeak: "check-valve", sim.FaultCheckValveStuck: "check-valve",
	sim.FaultHoseLeak: "vacuum-hose", sim.FaultHoseRestricted: "vacuum-hose",
	sim.FaultDiaphragmTorn: "booster", sim.FaultVacuumSeatLeak: "booster", sim.FaultAirSeatLeak: "booster",
	sim.FaultAirInCircuit: "bleeding", sim.FaultFluidBoiled: "bleeding",
}

// Remedy says what to replace, or to do, for a fault, and what to check before buying.
func Remedy(name sim.FaultName) (replace, check string) {
	r := remedies[name]
	return r.replace, r.check
}

// DoNotDrive reports whether a fault of a severity forbids driving.
func DoNotDrive(name sim.FaultName, severity float64) bool {
	r, known := remedies[name]
	return known && severity >= r.parkedFrom
}

const driveable = 1.1

var remedies = map[sim.FaultName]remedy{
	sim.FaultCheckValveLeak:       {"the check valve and its grommet", "blow through the valve from the engine's side: no air may pass", driveable},
	sim.FaultHoseLeak:             {"the vacuum hose", "pinch the hose at the booster: the hiss has to go on, and at the manifold it has to stop", driveable},
	sim.FaultHoseRestricted:       {"the vacuum hose, with one made for vacuum", "look whether it is sucked flat at idle, and blow through it", driveable},
	sim.FaultLowSourceVacuum:      {"nothing on the brakes yet: look for the vacuum at the engine (timing, manifold leak, camshaft), or fit a pump that starts above what is needed, or a booster for less vacuum", "read the manifold and the booster's end of the hose one after the other", driveable},
	sim.FaultCheckValveStuck:      {"the check valve", "suck at it from the engine's side: air has to pass", driveable},
	sim.FaultFrontShellLeak:       {"the booster, if the leak is in its shell", "the grommet of the check valve and the seal to the master cylinder first: they leak to the same place and cost little", driveable},
	sim.FaultDiaphragmTorn:        {"the booster", "the leak-down with the pedal held, and the hiss with the pedal pressed", 0.6},
	sim.FaultVacuumSeatLeak:       {"the booster", "the leak-down with the pedal held; no test here tells it from a torn diaphragm", 0.6},
	sim.FaultAirSeatLeak:          {"the booster", "the pedal rod's play and the boot: a rod that is held a little forward opens the same seat", 0.6},
	sim.FaultFilterBlocked:        {"the air filter of the booster", "take the filter out and press again", driveable},
	sim.FaultBoosterUndersized:    {"the booster, with one that suits the car", "the size written on it, and its area, against what is in the file", driveable},
	sim.FaultPushrodTooLong:       {"nothing: set the rod between booster and master cylinder shorter", "the gap with a rod gauge, and the fountain in the reservoir on release", 0.3},
	sim.FaultPushrodTooShort:      {"nothing: set the rod between booster and master cylinder longer", "the gap with a rod gauge", driveable},
	sim.FaultPedalRatioWrong:      {"nothing on the booster: move the rod to the right hole, or fit the right pedal", "measure both arms of the pedal", driveable},
	sim.FaultPedalBinds:           {"nothing on the booster: free and grease the pedal's pivot", "take the rod off and swing the pedal by hand", 0.5},
	sim.FaultBoreOversize:         {"the master cylinder, with a smaller bore", "the bore cast into it, and the line pressure with no vacuum", driveable},
	sim.FaultAirInCircuit:         {"nothing: bleed", "where the air comes from: bleeders on top, a level that falls", 0.2},
	sim.FaultMasterBypass:         {"the master cylinder, or its seals", "that nothing is wet and the level stays; then plug its outlets and hold the pedal: it sinks still", 0.1},
	sim.FaultReturnPortCovered:    {"nothing: set the rod or the pedal stop back; the master cylinder if its port is blocked", "the fountain in the reservoir on release, and the pipe opened at the master cylinder", 0.1},
	sim.FaultOutsideLeak:          {"the part that is wet", "every joint, hose and cylinder under the dust boots, and the booster's joint", 0.05},
	sim.FaultFluidBoiled:          {"the fluid, and bleed", "why the brakes were so hot: a wheel that drags", 0.1},
	sim.FaultHoseSwollen:          {"all flexible brake hoses of that age", "watch the hoses while someone presses hard", 0.1},
	sim.FaultHoseBlocked:          {"the hose to the wheel that drags, and its fellow", "open the bleeder: the wheel has to let go; with the hose off, blow through it", 0.1},
	sim.FaultLineBlocked:          {"the crushed or blocked line", "bleed there: nothing comes", 0.1},
	sim.FaultCaliperSeized:        {"the caliper, and its fellow", "that it stays tight with the bleeder open; slides as well as piston", 0.1},
	sim.FaultLiningsGlazed:        {"the linings of both wheels of the axle", "take a wheel off and look: glazed, oily or the wrong kind; find the leak that wet them", 0.8},
	sim.FaultShoesOutOfAdjustment: {"nothing: set the shoes", "that the adjusters turn and the parking-brake levers are back", driveable},
}
