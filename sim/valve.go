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
}

// seatRounding is the share of the stroke over which the ends are rounded.
const seatRounding = 0.005

func (s *seat) open(sig []float64) (share, slope float64) {
	u := (sig[s.plunger] - sig[s.hub] - s.shut) / s.stroke
	const w = seatRounding
	share = ramp(u, w) - ramp(u-1, w)
	return share, (rampSlope(u, w) - rampSlope(u-1, w)) / s.stroke
}

func (s *seat) value(sig []float64) float64 {
	u, _ := s.open(sig)
	c, _ := s.series(u * s.full)
	return c
}

// series returns the conductance of c and what lies before it, and its slope by
// c: the squares of the resistances add, exact for small pressure drops.
func (s *seat) series(c float64) (total, slope float64) {
	if s.before == 0 || c == 0 {
		return c, 1
	}
	q := c / s.before
	k := 1 / (1 + q*q)
	return c * math.Sqrt(k), k * math.Sqrt(k)
}

func (s *seat) signals() []signalSlot { return []signalSlot{s.plunger, s.hub} }

func (s *seat) slopes(sig, d []float64) {
	u, du := s.open(sig)
	_, k := s.series(u * s.full)
	d[0] = k * s.full * du
	d[1] = -d[0]
}

func airSeat(plunger, hub signalSlot, area, filter float64) *seat {
	return &seat{plunger: plunger, hub: hub, shut: leadAtLap, stroke: airStroke,
		full: area * physics.NozzleConductance, before: filter * physics.NozzleConductance}
}

func vacuumSeat(plunger, hub signalSlot, area float64) *seat {
	return &seat{plunger: plunger, hub: hub, shut: leadAtLap - lapBand, stroke: -vacuumStroke,
		full: area * physics.NozzleConductance}
}
