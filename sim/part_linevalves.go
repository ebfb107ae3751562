package sim

import "kneepoint/sim/si"

// How the valves in the lines behave where no key says it (estimates).
const (
	valveRounding  = 20e3  // Pa over which a valve opens or closes
	meteringSlope  = 1.5   // of a metering valve between opening and letting all through
	shoeSpringsPer = 0.3e6 // Pa that would push the shoes to the drum against their springs
	mostKept       = 0.9   // share of the clearance that a residual valve can keep closed
)

// dragFrom is the residual pressure from which pads are said to drag: between the 2 psi
// that valves for discs keep and the 10 psi of those for drums (common practice, no source).
const dragFrom si.Pressure = 5 * si.PoundPerSquareInch

// RearPressure returns the pressure behind the proportioning valve: equal up to
// the split, a share of the rest beyond.
func (c *Car) RearPressure(line si.Pressure) si.Pressure {
	p, _ := c.proportioned(float64(line))
	return si.Pressure(p)
}

// FrontPressure returns the pressure behind the metering valve: none up to the
// hold-off pressure, so that the rear shoes reach their drums first, and all of
// it from three times that on.
func (c *Car) FrontPressure(line si.Pressure) si.Pressure {
	p, _ := c.metered(float64(line))
	return si.Pressure(p)
}

func (c *Car) proportioned(line float64) (p, slope float64) {
	split, held := float64(c.SplitPressure), 1-float64(c.SplitSlope)
	w := min(valveRounding, split)
	if w <= 0 {
		return line - held*max(0, line), 1 - held
	}
	return line - held*ramp(line-split, w), 1 - held*rampSlope(line-split, w)
}

func (c *Car) metered(line float64) (p, slope float64) {
	h := float64(c.HoldOff)
	if h <= 0 {
		return line, 1
	}
	w := min(valveRounding, h)
	full := h * meteringSlope / (meteringSlope - 1)
	return meteringSlope*ramp(line-h, w) - (meteringSlope-1)*ramp(line-full, w),
		meteringSlope*rampSlope(line-h, w) - (meteringSlope-1)*rampSlope(line-full, w)
}

// frontGrip and rearGrip return the pressure at which an axle's brakes grip, and its
// slope by that in the circuit.
func (c *Car) frontGrip(line float64) (p, slope float64) {
	p, slope = c.metered(line)
	return c.FrontBrake.grip(p, slope, c.ResidualFront)
}

func (c *Car) rearGrip(line float64) (p, slope float64) {
	p, slope = c.proportioned(line)
	return c.RearBrake.grip(p, slope, c.ResidualRear)
}

// grip is never below zero, and at discs never below what a residual valve keeps.
func (b *Brake) grip(p, slope float64, kept si.Pressure) (grip, bySame float64) {
	if b.Kind.IsDrum() || kept <= 0 {
		if p <= 0 {
			return 0, 0
		}
		return p, slope
	}
	least := float64(kept)
	w := min(valveRounding, least)
	return least + ramp(p-least, w), slope * rampSlope(p-least, w)
}

// PadsDrag reports whether a residual valve is one for drums and the brake has pads:
// they then grip all the time. One for discs keeps the fluid from running back to a
// master cylinder below the calipers, and so little that it is not felt.
func (b *Brake) PadsDrag(residual si.Pressure) bool {
	return !b.Kind.IsDrum() && residual > dragFrom
}

// besideResidual returns a brake's circuit with what a residual valve keeps in it.
//
// In drums that is too little to push the shoes against their springs onto the drums,
// so it does not brake; it keeps their cups spread and a part of the clearance
// closed, and the next press takes up less. Discs have no such springs: the pads take
// up what they do at that pressure.
func (b *Brake) besideResidual(c Circuit, residual si.Pressure) Circuit {
	if b.Kind.IsDrum() {
		c.TakeUp *= si.Volume(1 - min(float64(residual)/shoeSpringsPer, mostKept))
		return c
	}
	c.TakeUp = max(0, c.TakeUp-si.Volume(float64(residual)/takeUpSlope))
	return c
}
