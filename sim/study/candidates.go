package study

import (
	"fmt"
	"strings"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A candidate is one combination of parts, not yet simulated.
type candidate struct {
	booster     scenario.BoosterSize
	reservoir   si.Volume
	pump        bool
	bore        si.Length
	manualRatio si.Ratio // above zero for a pedal without booster
}

// text names the parts.
func (c candidate) text(u si.System) string {
	size := bore(c.bore, u)
	if c.manualRatio > 0 {
		return fmt.Sprintf("a manual pedal of %.1f:1 on a %s bore", float64(c.manualRatio), size)
	}
	article := "a"
	if strings.HasPrefix(c.booster.String(), "8") || strings.HasPrefix(c.booster.String(), "11") {
		article = "an"
	}
	parts := []string{fmt.Sprintf("%s %s booster on a %s bore", article, c.booster, size)}
	if c.reservoir > 0 {
		parts = append(parts, fmt.Sprintf("a %s tank", tank(c.reservoir, u)))
	}
	if c.pump {
		parts = append(parts, "an electric pump")
	}
	return strings.Join(parts, " with ")
}

// besides names what is fitted to a car that keeps its booster: a part that is there
// already is not to be bought again. What the car has and this does without is named too.
func (c candidate) besides(present candidate, u si.System) string {
	var fit, out []string
	if c.bore != present.bore {
		fit = append(fit, fmt.Sprintf("a master cylinder with a %s bore", bore(c.bore, u)))
	}
	if c.reservoir > 0 && c.reservoir != present.reservoir {
		fit = append(fit, fmt.Sprintf("a %s tank", tank(c.reservoir, u)))
	}
	if c.pump && !present.pump {
		fit = append(fit, "an electric pump")
	}
	if present.reservoir > 0 && c.reservoir == 0 {
		out = append(out, "tank")
	}
	if present.pump && !c.pump {
		out = append(out, "electric pump")
	}
	text := fmt.Sprintf("Keep the %s booster", c.booster)
	if len(fit) > 0 {
		text += " and fit " + strings.Join(fit, " and ")
	}
	switch len(out) {
	case 1:
		text += fmt.Sprintf(" (the %s is not needed for that)", out[0])
	case 2:
		text += fmt.Sprintf(" (the %s and the %s are not needed for that)", out[0], out[1])
	}
	return text
}

// label is text for a picture.
func (c candidate) label(u si.System) string {
	size := bore(c.bore, u) + " bore"
	if c.manualRatio > 0 {
		return fmt.Sprintf("manual %.1f:1, %s", float64(c.manualRatio), size)
	}
	label := c.booster.String() + ", " + size
	if c.reservoir > 0 {
		label += ", " + tank(c.reservoir, u) + " tank"
	}
	if c.pump {
		label += ", pump"
	}
	return label
}

// candidates lists every combination that the scenario asks to choose from: the
// boosters with tanks and pumps, the manual pedals with neither, each with every
// bore.
func candidates(c scenario.Choose) []candidate {
	var out []candidate
	for _, b := range c.Boosters {
		for _, bore := range c.Bores {
			if b.None() {
				for _, r := range c.ManualRatios {
					out = append(out, candidate{booster: b, bore: bore, manualRatio: r})
				}
				continue
			}
			for _, v := range c.Reservoirs {
				for _, p := range c.Pumps {
					out = append(out, candidate{booster: b, bore: bore, reservoir: v, pump: p})
				}
			}
		}
	}
	return out
}

// in returns the scenario with the candidate's parts in the car, through the
// same keys that a flag would set.
func (c candidate) in(s *scenario.Scenario) (*scenario.Scenario, error) {
	set, unset := c.booster.Settings()
	set = append(set, scenario.SettingOf("master.bore", c.bore))
	if c.manualRatio > 0 {
		set = append(set, scenario.SettingOf("pedal.ratio", c.manualRatio))
	}
	if c.reservoir > 0 {
		set = append(set, scenario.SettingOf("reservoir.volume", c.reservoir))
	} else {
		unset = append(unset, "reservoir")
	}
	switch {
	case !c.pump:
		unset = append(unset, "pump")
	case s.Config.Pump.FreeFlow == 0:
		set = append(set, scenario.SettingOf("pump.free_flow", scenario.TypicalPump().FreeFlow))
	}
	return s.Edit(set, unset...)
}

// fits says why a candidate does not fit the car, or nothing if it does.
func (c candidate) fits(room scenario.Choose, u si.System) string {
	for _, d := range c.booster.Diameters {
		if room.MaxDiameter > 0 && d > room.MaxDiameter {
			return fmt.Sprintf("does not fit: %s where there is room for %s",
				si.Format(si.DimLength, float64(d), u), si.Format(si.DimLength, float64(room.MaxDiameter), u))
		}
	}
	if d := c.booster.Depth(); room.MaxDepth > 0 && d > room.MaxDepth {
		return fmt.Sprintf("does not fit: some %s deep (estimate) where there is room for %s",
			si.Format(si.DimLength, float64(d), u), si.Format(si.DimLength, float64(room.MaxDepth), u))
	}
	return ""
}

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

// simplicity ranks what it takes to fit the candidate into the present car: the
// less, the simpler.
func (c candidate) simplicity(s *scenario.Scenario) int {
	work := 0
	present := s.Config
	if c.booster.None() != (present.Booster.Kind == sim.BoosterNone) {
		work += workOfBooster
	}
	if !c.booster.None() {
		if !sameSize(c.booster.Diameters, present.Booster.Diameters) {
			work += workOfBooster
		}
		if len(c.booster.Diameters) > 1 && len(present.Booster.Diameters) < 2 {
			work += workOfTandem
		}
	}
	if c.manualRatio > 0 && c.manualRatio != present.Pedal.Ratio {
		work += workOfPedal
	}
	if c.bore != present.Master.Bore {
		work += workOfBore
	}
	if c.reservoir > 0 && present.Reservoir.Volume == 0 {
		work += workOfTank
	}
	if c.pump && present.Pump.FreeFlow == 0 {
		work += workOfPump
	}
	return work
}

func sameSize(a, b []si.Length) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if d := a[i] - b[i]; d > 1e-6 || d < -1e-6 {
			return false
		}
	}
	return true
}
