package sim

import "kneepoint/sim/si"

// How the valves in the lines behave where no key says it (estimates).
const (
	valveRounding  = 20e3  // Pa over which a valve opens or closes
	meteringSlope  = 1.5   // of a metering valve between opening and letting all through
	shoeSpringsPer = 0.3e6 // Pa that would push the shoes to the drum against their springs
	mostKept       = 0.9   // share of the clearance that a residual valve can keep closed
)

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

// besideResidual returns a rear circuit whose residual valve keeps a little
// pressure in the wheel cylinders. It is too little to push the shoes against
// their springs onto the drums, so it does not brake; it keeps their cups spread
// and a part of the clearance closed, and the next press takes up less.
func (c *Car) besideResidual(rear Circuit) Circuit {
	kept := min(float64(c.Residual)/shoeSpringsPer, mostKept)
	rear.TakeUp *= si.Volume(1 - kept)
	return rear
}
