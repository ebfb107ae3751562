package verdict

import (
	"kneepoint/sim"
	"kneepoint/sim/si"
)

// BottomShare is the share of a half's stroke from which on its piston counts as on its stop.
const BottomShare = 0.999

// StrokeUsed returns the share of its stroke that each half of the master cylinder has
// gone; of a single one both are the piston's. The front half lies between the pistons
// of a dual one, the rear half between the floating piston and the end.
func StrokeUsed(c *sim.Config, s sim.State) (front, rear float64) {
	stroke := float64(c.Master.Stroke)
	if c.Master.Circuits == sim.MasterSingle {
		share := float64(s.Piston) / stroke
		return share, share
	}
	return 2 * float64(s.Piston-s.Floater) / stroke, 2 * float64(s.Floater) / stroke
}

// WorkingStroke is StrokeUsed for the halves that still have a circuit to press on, 0
// for one that has not: it runs to its end and means nothing.
func WorkingStroke(c *sim.Config, s sim.State) (front, rear float64) {
	road := RoadOf(c)
	front, rear = StrokeUsed(c, s)
	if road.NoFront {
		front = 0
	}
	if road.NoRear {
		rear = 0
	}
	return front, rear
}

// Bottomed says which half of the master cylinder that still works stands at the end of
// its stroke.
func Bottomed(c *sim.Config, s sim.State) Axle {
	front, rear := WorkingStroke(c, s)
	f, r := front >= BottomShare, rear >= BottomShare
	switch {
	case f && r:
		return BothAxles
	case f:
		return FrontAxle
	case r:
		return RearAxle
	}
	return NoAxle
}

// StrokeFor works out, without pressing, the share of its stroke that each half of the
// master cylinder needs for a line pressure: what the circuit takes over the bore's
// area. Residual valves, the valves in the lines and the cylinder's own give are left out.
func StrokeFor(c *sim.Config, line si.Pressure) (front, rear float64) {
	area := float64(c.Master.Area())
	takes := func(k sim.Circuit) float64 {
		return (float64(k.TakeUp) + float64(k.Compliance)*float64(line)) / area
	}
	f, r, stroke := takes(c.Front), takes(c.Rear), float64(c.Master.Stroke)
	if c.Master.Circuits == sim.MasterSingle {
		return (f + r) / stroke, (f + r) / stroke
	}
	return 2 * f / stroke, 2 * r / stroke
}
