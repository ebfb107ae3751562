package study

import (
	"fmt"
	"strings"

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
	// keeps says which parts stay as they are, whatever they are measured to be.
	keeps struct{ booster, bore bool }
	// effort ranks what it takes to fit it: the less, the simpler.
	effort int
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
	text := fmt.Sprintf("%s %s booster on a %s bore", article, c.booster, size)
	var besides []string
	if c.reservoir > 0 {
		besides = append(besides, fmt.Sprintf("a %s tank", tank(c.reservoir, u)))
	}
	if c.pump {
		besides = append(besides, "an electric pump")
	}
	if len(besides) > 0 {
		text += " with " + strings.Join(besides, " and ")
	}
	return text
}

// besides names what is fitted to a car that keeps its booster: a part that is there
// already is not to be bought again. What the car has and this does without is named too.
func (c candidate) besides(present candidate, u si.System) string {
	var fit, out []string
	if !c.keeps.bore {
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
func candidates(s *scenario.Scenario) []candidate {
	c, present := s.Choose, presentParts(s)
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
	for i := range out {
		o := &out[i]
		o.keeps.booster, o.keeps.bore = scenario.SameShell(o.booster.Diameters, present.booster.Diameters), scenario.SameBore(o.bore, present.bore)
		o.effort = o.work(present, s.Config.Pedal.Ratio)
	}
	return out
}

// in returns the scenario with the candidate's parts in the car, through the
// same keys that a flag would set.
func (c candidate) in(s *scenario.Scenario) (*scenario.Scenario, error) {
	var set []scenario.Setting
	var unset []string
	if !c.keeps.booster {
		set, unset = c.booster.Settings()
	}
	if !c.keeps.bore {
		set = append(set, scenario.SettingOf(scenario.KeyMasterBore, c.bore))
	}
	if c.manualRatio > 0 {
		set = append(set, scenario.SettingOf(scenario.KeyPedalRatio, c.manualRatio))
	}
	if c.reservoir > 0 {
		set = append(set, scenario.SettingOf(scenario.KeyReservoirVolume, c.reservoir))
	} else {
		unset = append(unset, "reservoir")
	}
	switch {
	case !c.pump:
		unset = append(unset, "pump")
	case s.Config.Pump.FreeFlow == 0:
		set = append(set, scenario.SettingOf(scenario.KeyPumpFreeFlow, scenario.TypicalPump().FreeFlow))
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
