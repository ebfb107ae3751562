package study

import (
	"fmt"
	"math"
	"strings"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// describeBooster names the size of a car's booster as a choice does.
func describeBooster(c sim.Config, u si.System) string {
	if c.Booster.Kind == sim.BoosterNone {
		return "none"
	}
	if len(c.Booster.Diameters) == 0 {
		return si.FormatFine(si.DimArea, float64(c.Booster.Area), u)
	}
	var sizes []string
	for _, d := range c.Booster.Diameters {
		sizes = append(sizes, si.FormatFine(si.DimLength, float64(d), u))
	}
	return strings.Join(sizes, " + ")
}

// chamber prints what a gauge at a chamber shows: a vacuum, or, where the foot has
// pushed the hub in without any, that the air inside is above that outside.
func chamber(v si.Vacuum, u si.System) string {
	text := vacuum(v, u)
	if above, negative := strings.CutPrefix(text, "-"); negative {
		return above + " above the air outside"
	}
	return text
}

// bore prints a bore as it is sold: in inches by the sixteenth where it is one.
func bore(b si.Length, u si.System) string {
	const sixteenth = si.Inch / 16
	n := math.Round(float64(b) / sixteenth)
	if u != si.US || !scenario.SameBore(si.Length(n*sixteenth), b) {
		return si.FormatFine(si.DimLength, float64(b), u)
	}
	whole, part, of := int(n)/16, int(n)%16, 16
	for part > 0 && part%2 == 0 {
		part, of = part/2, of/2
	}
	switch {
	case part == 0:
		return fmt.Sprintf("%d in", whole)
	case whole == 0:
		return fmt.Sprintf("%d/%d in", part, of)
	}
	return fmt.Sprintf("%d %d/%d in", whole, part, of)
}

// leverAndBore is what a pedal without booster depends on.
func leverAndBore(c *sim.Config, u si.System) string {
	return fmt.Sprintf("the pedal's ratio, %.1f:1, and the bore, %s", float64(c.Pedal.Ratio), bore(c.Master.Bore, u))
}

// tank prints the volume of a reservoir: in litres, which is how they are sold
// everywhere, with gallons behind where those are usual.
func tank(v si.Volume, u si.System) string {
	text := strings.TrimSuffix(fmt.Sprintf("%.1f", float64(v)/si.Litre), ".0") + " L"
	if u == si.US {
		text += fmt.Sprintf(" (%.1f gal)", float64(v)/si.Gallon)
	}
	return text
}
