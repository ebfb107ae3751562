package web

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

func TestPhases(t *testing.T) {
	t.Parallel()
	const ambient = si.Pressure(101325)
	pressed := sim.State{Pedal: 100, Output: 2000, FrontVacuum: 60e3, WorkingVacuum: 30e3}
	with := func(change func(*sim.State)) sim.State {
		s := pressed
		change(&s)
		return s
	}
	for want, s := range map[phase]sim.State{
		atRest:    {FrontVacuum: 60e3, WorkingVacuum: 60e3, VacuumOpen: 1},
		applying:  with(func(s *sim.State) { s.AirOpen, s.AirFlow = 0.3, 2e-3 }),
		holding:   pressed,
		runOut:    with(func(s *sim.State) { s.AirOpen, s.WorkingVacuum = 1, 100 }),
		releasing: with(func(s *sim.State) { s.VacuumOpen, s.InnerFlow = 0.4, 2e-3 }),
		noHelp:    with(func(s *sim.State) { s.FrontVacuum, s.WorkingVacuum, s.AirOpen = 500, 100, 1 }),
		unboosted: with(func(s *sim.State) { s.FrontVacuum = si.Vacuum(math.NaN()) }),
	} {
		assert.Equal(t, want, phaseOf(s, ambient))
	}
}
