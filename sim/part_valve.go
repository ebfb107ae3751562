package sim

import (
	"math"

	"kneepoint/internal/physics"
)

// The booster's valve, in the plunger's lead over the hub (estimates): the
// vacuum seat is shut at lap less the band, the air seat opens from lap on.
const (
	leadAtRest   = -0.4e-3
	leadAtLap    = 0.6e-3
	lapBand      = 0.1e-3
	leadAtBottom = 2.0e-3
	airStroke    = 1.0e-3
	vacuumStroke = 0.8e-3
)

// seat is the conductance of one of the valve's two seats. It opens by a linear
// area over its stroke, with rounded ends so that nothing jumps, and stands in
// series with whatever lies before it.
type seat struct {
	plunger, hub signalSlot
	// shut is the lead at which it just closes; stroke is how far it opens from
	// there, negative for the vacuum seat, which opens as the lead falls.
	shut, stroke float64
	full         float64 // conductance when open
	before       float64 // conductance of what is in series, 0 for nothing
	// What the reading divides by.
	perStroke, perBefore float64
}

// ready works out the reciprocals.
func (s seat) ready() *seat {
	s.perStroke = 1 / s.stroke
	if s.before != 0 {
		s.perBefore = 1 / s.before
	}
	return &s
}

// seatRounding is the share of the stroke over which the ends are rounded.
const seatRounding = 0.005

// at is how far the plunger leads beyond shut, in strokes.
func (s *seat) at(sig *values) float64 {
	return (sig[s.plunger] - sig[s.hub] - s.shut) * s.perStroke
}

// open is the share of the full area.
func (s *seat) open(sig *values) float64 {
	u := s.at(sig)
	return ramp(u, seatRounding) - ramp(u-1, seatRounding)
}

func (s *seat) value(sig *values) float64 {
	c := s.open(sig) * s.full
	if s.before == 0 || c == 0 {
		return c
	}
	// The squares of the resistances add, exact for small pressure drops.
	q := c * s.perBefore
	return c / math.Sqrt(1+q*q)
}

func (s *seat) signals() []signalSlot { return []signalSlot{s.plunger, s.hub} }

func (s *seat) slopes(sig *values, d []float64) float64 {
	u := s.at(sig)
	c := (ramp(u, seatRounding) - ramp(u-1, seatRounding)) * s.full
	slope := s.full * (rampSlope(u, seatRounding) - rampSlope(u-1, seatRounding)) * s.perStroke
	if s.before != 0 && c != 0 {
		q := c * s.perBefore
		k := 1 / (1 + q*q)
		root := math.Sqrt(k)
		c, slope = c*root, slope*k*root
	}
	d[0], d[1] = slope, -slope
	return c
}

func airSeat(plunger, hub signalSlot, area, filter float64) *seat {
	return seat{plunger: plunger, hub: hub, shut: leadAtLap, stroke: airStroke,
		full: area * physics.NozzleConductance, before: filter * physics.NozzleConductance}.ready()
}

func vacuumSeat(plunger, hub signalSlot, area float64) *seat {
	return seat{plunger: plunger, hub: hub, shut: leadAtLap - lapBand, stroke: -vacuumStroke,
		full: area * physics.NozzleConductance}.ready()
}
