package sim_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

// A schedule that cannot be is refused with what is wrong, whether it is run as a
// whole or planned on a session.
func TestScheduleThatCannotBe(t *testing.T) {
	press := sim.Press{At: 1, Pedal: 100, Press: 0.3, Hold: 2, Release: 0.3}
	with := func(change func(*sim.Press)) sim.Press {
		p := press
		change(&p)
		return p
	}
	nan := math.NaN()
	for _, c := range []struct {
		name string
		s    sim.Schedule
		want string
	}{
		{"ends before it begins", sim.Schedule{Until: -1}, "schedule: lasts until -1 s, want 0 s or later"},
		{"endless", sim.Schedule{Until: si.Time(math.Inf(1))}, "want 0 s or later"},
		{"pulled", sim.Schedule{Until: 9, Presses: []sim.Press{with(func(p *sim.Press) { p.Pedal = -100 })}}, "press 0: pedal of -100 N, want 0 or more"},
		{"no force", sim.Schedule{Until: 9, Presses: []sim.Press{with(func(p *sim.Press) { p.Pedal = si.Force(nan) })}}, "press 0: pedal of"},
		{"endless hold", sim.Schedule{Until: 9, Presses: []sim.Press{with(func(p *sim.Press) { p.Hold = si.Time(math.Inf(1)) })}}, "press 0: hold of"},
		{"before the start", sim.Schedule{Until: 9, Presses: []sim.Press{with(func(p *sim.Press) { p.At = -1 })}}, "press 0: begins at -1 s, want no earlier than 0 s"},
		{"overlapping", sim.Schedule{Until: 9, Presses: []sim.Press{press, with(func(p *sim.Press) { p.At = 2 })}}, "press 1: begins at 2 s, want no earlier than 3.6 s"},
		{"no such state", sim.Schedule{Until: 9, Events: []sim.Event{{At: 1, Engine: "of"}}}, `event 0: engine "of", want "idle", "overrun", "cruise", "snap" or "off"`},
		{"events out of order", sim.Schedule{Until: 9, Events: []sim.Event{{At: 3, Engine: sim.EngineOff}, {At: 2, Engine: sim.EngineIdle}}}, "event 1: at 2 s, want no earlier than 3 s"},
	} {
		m, err := sim.New(sim.Typical())
		require.NoError(t, err)
		_, err = m.Run(context.Background(), c.s)
		assert.ErrorContains(t, err, c.want, c.name)

		if c.s.Until != 9 {
			continue
		}
		session := m.Start()
		for _, p := range c.s.Presses {
			session.Plan(p)
		}
		for _, e := range c.s.Events {
			session.Engine(e.Engine)
		}
		if c.name != "events out of order" { // a session does what it is told when it is told
			assert.Error(t, session.Advance(context.Background(), 1), c.name)
		}
	}
}

func TestSessionOrdersThatCannotBe(t *testing.T) {
	m, err := sim.New(sim.Typical())
	require.NoError(t, err)
	late := m.Start()
	require.NoError(t, late.Advance(t.Context(), 5))
	late.Plan(sim.Press{At: 2, Pedal: 100, Press: 0.3})
	assert.ErrorContains(t, late.Advance(t.Context(), 1), "begins at 2 s, want no earlier than 5 s")
	assert.Equal(t, si.Time(5), late.Time())

	s := m.Start()
	assert.ErrorContains(t, s.AdvanceTo(t.Context(), si.Time(math.NaN())), "want a time")
	s.Pedal(-1, 0.3)
	assert.ErrorContains(t, s.Settle(t.Context(), sim.EngineIdle), "pedal of -1 N")
}

// A model keeps a car of its own: what the caller does to the slices that it was made
// of changes nothing.
func TestModelKeepsItsCar(t *testing.T) {
	c := sim.Typical()
	c.Faults = []sim.Fault{{Name: sim.FaultPedalRatioWrong, Severity: 0.5}}
	m, err := sim.New(c)
	require.NoError(t, err)
	c.Faults[0].Severity, c.Booster.Diameters[0] = 1, 1
	assert.Equal(t, si.Ratio(0.5), m.Config().Faults[0].Severity)
	assert.Equal(t, si.Length(0.254), m.Config().Booster.Diameters[0])
}
