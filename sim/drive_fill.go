package sim

import "kneepoint/sim/si"

// Fill puts a vacuum into the booster, and into the tank that feeds it, with the air
// in them at the temperature of the walls. It is for a car at rest: the pedal free.
func (s *Session) Fill(v si.Vacuum) {
	c, p := &s.m.config, s.m.plant
	inside := float64(v.Below(c.Ambient.Pressure))
	full := []*gas{p.front, p.rear}
	if c.Reservoir.Place == PlaceBoosterSide || c.Reservoir.InletValve {
		full = append(full, p.tank)
	}
	for _, g := range full {
		if g != nil {
			g.fill(s.y, inside, float64(c.Ambient.Temperature))
		}
	}
	s.m.owner = nil // the solver's copy of the state is no longer this one
}

// Trace adds a point to the plan of the pedal: a straight line leads there from the
// plan's last point. At is on the session's clock, after all that was planned before.
func (s *Session) Trace(at si.Time, force si.Force) { s.pedal.to(float64(at), float64(force)) }
