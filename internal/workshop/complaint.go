package workshop

import (
	"kneepoint/sim"
	"kneepoint/sim/scenario"
)

// A ComplaintLine is one complaint, as a driver chooses it.
type ComplaintLine struct {
	Complaint scenario.Complaint `json:"complaint"`
	Words     string             `json:"words"`
}

// ComplaintLines are the complaints to choose from.
func ComplaintLines() []ComplaintLine {
	return []ComplaintLine{
		{scenario.ComplaintHard, "The pedal is hard and the car does not stop well."},
		{scenario.ComplaintLow, "The pedal goes far down before the brakes bite."},
		{scenario.ComplaintSpongy, "The pedal is soft and springy."},
		{scenario.ComplaintSinks, "The pedal sinks while it is held."},
		{scenario.ComplaintDrags, "The brakes stay on or get hot."},
		{scenario.ComplaintPulls, "The car pulls to one side when braking."},
		{scenario.ComplaintHisses, "Something hisses, with the foot on or off the pedal."},
	}
}

// complaints are the chances that a driver with a fault complains of this first; what is
// left is spread over the others. Estimates: which fault is felt how is common practice, no
// source, and nobody has counted.
var complaints = map[sim.FaultName]map[scenario.Complaint]float64{
	sim.FaultCheckValveLeak:       {scenario.ComplaintHard: 0.65, scenario.ComplaintHisses: 0.1},
	sim.FaultHoseLeak:             {scenario.ComplaintHard: 0.5, scenario.ComplaintHisses: 0.35},
	sim.FaultHoseRestricted:       {scenario.ComplaintHard: 0.85},
	sim.FaultLowSourceVacuum:      {scenario.ComplaintHard: 0.9},
	sim.FaultCheckValveStuck:      {scenario.ComplaintHard: 0.95},
	sim.FaultFrontShellLeak:       {scenario.ComplaintHard: 0.45, scenario.ComplaintHisses: 0.35},
	sim.FaultDiaphragmTorn:        {scenario.ComplaintHard: 0.6, scenario.ComplaintHisses: 0.3},
	sim.FaultVacuumSeatLeak:       {scenario.ComplaintHard: 0.6, scenario.ComplaintHisses: 0.3},
	sim.FaultAirSeatLeak:          {scenario.ComplaintHisses: 0.5, scenario.ComplaintHard: 0.2, scenario.ComplaintDrags: 0.15},
	sim.FaultFilterBlocked:        {scenario.ComplaintHard: 0.9},
	sim.FaultBoosterUndersized:    {scenario.ComplaintHard: 0.93},
	sim.FaultPedalRatioWrong:      {scenario.ComplaintHard: 0.9},
	sim.FaultPedalBinds:           {scenario.ComplaintDrags: 0.4, scenario.ComplaintHard: 0.4},
	sim.FaultBoreOversize:         {scenario.ComplaintHard: 0.85},
	sim.FaultPushrodTooLong:       {scenario.ComplaintDrags: 0.85, scenario.ComplaintHisses: 0.05},
	sim.FaultPushrodTooShort:      {scenario.ComplaintLow: 0.8, scenario.ComplaintHisses: 0.05},
	sim.FaultAirInCircuit:         {scenario.ComplaintSpongy: 0.65, scenario.ComplaintLow: 0.25},
	sim.FaultMasterBypass:         {scenario.ComplaintSinks: 0.8, scenario.ComplaintLow: 0.1},
	sim.FaultReturnPortCovered:    {scenario.ComplaintDrags: 0.9},
	sim.FaultOutsideLeak:          {scenario.ComplaintSinks: 0.4, scenario.ComplaintLow: 0.4, scenario.ComplaintSpongy: 0.1},
	sim.FaultFluidBoiled:          {scenario.ComplaintSpongy: 0.55, scenario.ComplaintLow: 0.4},
	sim.FaultHoseSwollen:          {scenario.ComplaintSpongy: 0.75, scenario.ComplaintLow: 0.1},
	sim.FaultHoseBlocked:          {scenario.ComplaintDrags: 0.55, scenario.ComplaintPulls: 0.35},
	sim.FaultLineBlocked:          {scenario.ComplaintPulls: 0.55, scenario.ComplaintHard: 0.35},
	sim.FaultCaliperSeized:        {scenario.ComplaintDrags: 0.5, scenario.ComplaintPulls: 0.4},
	sim.FaultLiningsGlazed:        {scenario.ComplaintHard: 0.75, scenario.ComplaintPulls: 0.15},
	sim.FaultShoesOutOfAdjustment: {scenario.ComplaintLow: 0.85, scenario.ComplaintPulls: 0.05},
}

// ComplaintOdds is by how much a complaint makes a fault more likely against something of
// which nothing is known, that is, complained of in any of the ways alike.
func ComplaintOdds(name sim.FaultName, c scenario.Complaint) float64 {
	row, known := complaints[name]
	if c == "" || !known {
		return 1
	}
	all := scenario.Complaints()
	chance, named := row[c]
	if !named {
		left := 1.0
		for _, p := range row {
			left -= p
		}
		chance = left / float64(len(all)-len(row))
	}
	return chance * float64(len(all))
}
