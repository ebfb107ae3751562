package diagnose

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"kneepoint/internal/workshop"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
)

// A SideOfFault is how likely a fault is on one side.
type SideOfFault struct {
	Side        sim.Side `json:"side"`
	Probability float64  `json:"probability"`
	// Cleared says that it is hardly there, and that a test which would show it read as
	// on a sound car.
	Cleared bool `json:"cleared"`
}

// clearedBelow is the chance of a fault below which a side can be cleared (estimate).
const clearedBelow = 0.05

// sideOf is the side that all faults of a suspect are on.
func sideOf(faults []string) sim.Side {
	side := sim.FaultName(faults[0]).Side()
	for _, f := range faults {
		if sim.FaultName(f).Side() != side {
			return sim.SideNone
		}
	}
	return side
}

// looksAt are the tests that would show most of what can be wrong on a side: where one of
// them reads as on a sound car, the side can be cleared.
var looksAt = map[sim.Side][]scenario.Test{
	sim.SideSupply:    {scenario.ManifoldVacuum, scenario.BoosterVacuum, scenario.StopsLeft, scenario.Recharge},
	sim.SideBooster:   {scenario.LeakDown, scenario.StopsLeft, scenario.PressureCreep, scenario.LinePressure, scenario.PedalDropsOnStart},
	sim.SideHydraulic: {scenario.LinePressure, scenario.PedalTravel, scenario.PedalSinks, scenario.PedalFeel, scenario.PressureCreep, scenario.PumpUp},
	sim.SideWheel:     {scenario.WheelDrags, scenario.PumpUp, scenario.ParkingBrakeLifts, scenario.BleederFrees, scenario.LiningsBad},
}

// takeSides adds the suspects up by side. A pair on two sides counts half for each.
func (d *Diagnosis) takeSides() {
	chances := map[sim.Side]float64{}
	for i := range d.Suspects {
		s := &d.Suspects[i]
		for _, f := range s.Faults {
			chances[sim.FaultName(f).Side()] += s.Probability / float64(len(s.Faults))
		}
	}
	d.Sides = []SideOfFault{}
	best := 0.0
	for _, side := range []sim.Side{sim.SideSupply, sim.SideBooster, sim.SideHydraulic, sim.SideWheel} {
		d.Sides = append(d.Sides, SideOfFault{side, chances[side], chances[side] < clearedBelow && d.readAsSound(side)})
		if chances[side] > best {
			best, d.Side = chances[side], side
		}
	}
	top := &d.Suspects[0]
	if top.Fault == NoFault || d.nothingExplains() || chances[sim.SideNone] > best {
		d.Side = sim.SideNone
	}
	if !d.nothingExplains() && len(d.readings) > 0 {
		for k, f := range top.Faults {
			d.DoNotDrive = d.DoNotDrive || workshop.DoNotDrive(sim.FaultName(f), top.Severities[k])
		}
	}
	if track, _, _ := d.readsLike(); track != nil && d.nothingExplains() {
		d.DoNotDrive = track.parked
	}
}

// readAsSound reports whether a test that looks at a side was done and none that was
// contradicts a sound car.
func (d *Diagnosis) readAsSound(side sim.Side) bool {
	done := false
	for i := range d.readings {
		r := &d.readings[i]
		if !slices.Contains(looksAt[side], r.trial.Test()) {
			continue
		}
		b := newBelief()
		b.update(r, &d.l.sound)
		if b.worst > 2 {
			return false
		}
		done = true
	}
	return done
}

// nothingExplains says that it is more likely something in no list than all in it.
func (d *Diagnosis) nothingExplains() bool {
	return d.Unexplained >= 0.5 || d.Unexplained > d.Suspects[0].Together && d.Unexplained >= 0.3 && d.Suspects[0].Together < 0.3
}

// sideWords are the second line of the verdict.
func (d *Diagnosis) sideWords() string {
	// What has less is named as no more than it is (estimate).
	const worthASide = 0.4

	var cleared []string
	order := slices.Clone(d.Sides)
	slices.SortStableFunc(order, func(a, b SideOfFault) int { return cmp.Compare(b.Probability, a.Probability) })
	for _, s := range d.Sides {
		if s.Cleared {
			cleared = append(cleared, workshop.SideWords(s.Side))
		}
	}
	text := ""
	switch {
	case d.Side != sim.SideNone && order[0].Probability < worthASide:
		text = fmt.Sprintf("Side: not known yet (%s %s).", workshop.SideWords(d.Side), likelihood(order[0].Probability))
	case d.Side != sim.SideNone:
		text = fmt.Sprintf("Side: %s (%s).", workshop.SideWords(d.Side), likelihood(order[0].Probability))
	case d.nothingExplains() && d.Vacuum.lost():
		text = "Side: between manifold and booster, or air that the booster lets in."
	case d.nothingExplains():
		text = "Side: not known, since nothing in the list explains it."
	case d.Suspects[0].Fault == NoFault:
		text = "Side: none that these tests show."
	default:
		text = "Side: the pedal itself, before booster and hydraulics."
	}
	if len(cleared) > 0 {
		text += " Cleared by readings as on a sound car: " + strings.Join(cleared, ", ") + "."
	}
	return text
}

// sureToAct is the probability of a repair from which it is named what to replace; what to
// check before buying is named with it.
const sureToAct = 0.8

// sure says that what to do is sure enough to do it.
func (d *Diagnosis) sure() bool {
	return !d.nothingExplains() && d.Repair.Job != leaveAlone && d.Repair.Probability >= sureToAct
}

// doWords are the third line of the verdict: what to do, or that it is too early, and whether
// the car may be driven.
func (d *Diagnosis) doWords(unseen int) string {
	text := d.repairWords()
	if danger := d.dangerWords(unseen); danger != "" {
		text += " " + danger
	}
	return text
}

func (d *Diagnosis) repairWords() string {
	top := &d.Suspects[0]
	switch {
	case d.nothingExplains() && d.Vacuum.lost():
		return "To do: buy nothing yet. Look at the vacuum hose and its ends first: pinched, sucked flat, clogged, cracked or loose; then pinch it between gauge and check valve, as said below."
	case d.nothingExplains():
		return "To do: buy nothing yet. Take the readings again that say most, and look at what these tests do not see: the wheels' linings, the pedal's pivot, the fluid."
	case d.sure() && !d.Settled:
		return "To do: " + d.namedRepair() + ". The next test is worth its minutes first."
	case d.sure():
		return "To do: " + d.namedRepair() + "."
	case top.Fault == NoFault && d.Settled && d.Danger >= worthMentioning:
		return "To do: nothing was found to replace. Look by hand at what is not ruled out before anybody drives."
	case top.Fault == NoFault && (top.Together >= sureToAct || d.Settled):
		return "To do: nothing here. If the driver still complains, look at what these tests do not see: linings, tyres, the road."
	case d.Next == nil || len(top.Faults) == 0 && d.Settled:
		return "To do: buy nothing on this alone; no test that is left tells more."
	case d.Settled:
		_, check := workshop.Remedy(sim.FaultName(top.Faults[0]))
		return "To do: buy nothing on this alone; no test that is left is worth its minutes. Check the likeliest first: " + check + "."
	}
	return "To do: buy nothing yet; the next test tells more."
}

// namedRepair says what to replace, and what to check before that: for all faults of the
// first suspect where that is sure, and else for the one that the first repair mends.
func (d *Diagnosis) namedRepair() string {
	top := &d.Suspects[0]
	faults, alone := top.Faults, true
	if top.Together < sureToAct || len(faults) == 0 {
		if i := slices.IndexFunc(d.Suspects, func(s Suspect) bool { return slices.ContainsFunc(s.Faults, d.Repair.mends) }); i >= 0 {
			top = &d.Suspects[i]
		}
		faults, alone = slices.DeleteFunc(slices.Clone(top.Faults), func(f string) bool { return !d.Repair.mends(f) }), false
	}
	var parts []string
	for _, f := range faults {
		replace, check := workshop.Remedy(sim.FaultName(f))
		if rest, ok := strings.CutPrefix(replace, "nothing"); ok {
			parts = append(parts, fmt.Sprintf("replace nothing%s. Check: %s", rest, check))
		} else {
			parts = append(parts, fmt.Sprintf("replace %s. Before buying, check: %s", replace, check))
		}
	}
	text := strings.Join(parts, ". And ")
	if !alone {
		text += fmt.Sprintf(". That is right with %s, whatever else is likely; test again afterwards", likelihood(d.Repair.Probability))
	}
	return text
}
