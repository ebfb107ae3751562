package sim

import (
	"fmt"

	"kneepoint/sim/si"
)

// A Press is one application of the pedal: a ramp, a hold, a ramp back.
type Press struct {
	At si.Time
	// Pedal is the force held. With a Deceleration above zero the driver seeks
	// that instead and presses no harder than Pedal.
	Pedal        si.Force
	Deceleration si.Acceleration
	// Press, Hold and Release follow each other from At.
	Press, Hold, Release si.Time
}

// End returns the time at which the pedal is free again.
func (p Press) End() si.Time { return p.At + p.Press + p.Hold + p.Release }

// EngineState is what the engine, or the bench in its place, does.
type EngineState string

// The states of the engine. A bench knows only off and, for all others, on.
const (
	EngineIdle    EngineState = "idle"
	EngineOverrun EngineState = "overrun"
	EngineCruise  EngineState = "cruise"
	EngineSnap    EngineState = "snap"
	EngineOff     EngineState = "off"
)

// An Event changes the state of the engine at a time.
type Event struct {
	At     si.Time
	Engine EngineState
}

// A Schedule is what happens over a run: pedal applications, none overlapping
// another, and engine events, both in order of time.
type Schedule struct {
	Presses []Press
	Events  []Event
	// Until is the length of the run.
	Until si.Time
}

// Check says what of a schedule cannot be: an unknown state of the engine, a force or a
// time that is negative or no number, presses that overlap or come out of order, a run
// that ends before it begins. The error names the press or event, counted from 0.
func (s Schedule) Check() error {
	if !(s.Until >= 0) || !finite(float64(s.Until)) {
		return fmt.Errorf("schedule: lasts until %v, want 0 s or later", s.Until)
	}
	free := si.Time(0)
	for i, p := range s.Presses {
		if err := p.check(free); err != nil {
			return fmt.Errorf("schedule: press %d: %w", i, err)
		}
		free = p.End()
	}
	last := si.Time(0)
	for i, e := range s.Events {
		if !(e.At >= last) || !finite(float64(e.At)) {
			return fmt.Errorf("schedule: event %d: at %v, want no earlier than %v", i, e.At, last)
		}
		if err := e.Engine.check(); err != nil {
			return fmt.Errorf("schedule: event %d: %w", i, err)
		}
		last = e.At
	}
	return nil
}

// check says what of a press cannot be; the pedal is free from a time on.
func (p Press) check(free si.Time) error {
	for _, v := range []struct {
		name  string
		value float64
		text  string
	}{
		{"pedal", float64(p.Pedal), p.Pedal.String()}, {"deceleration", float64(p.Deceleration), p.Deceleration.String()},
		{"press", float64(p.Press), p.Press.String()}, {"hold", float64(p.Hold), p.Hold.String()}, {"release", float64(p.Release), p.Release.String()},
	} {
		if !(v.value >= 0) || !finite(v.value) {
			return fmt.Errorf("%s of %s, want 0 or more", v.name, v.text)
		}
	}
	if !(p.At >= free) || !finite(float64(p.At)) {
		return fmt.Errorf("begins at %v, want no earlier than %v", p.At, free)
	}
	return nil
}

// check refuses a state that the engine does not know.
func (e EngineState) check() error {
	switch e {
	case EngineIdle, EngineOverrun, EngineCruise, EngineSnap, EngineOff:
		return nil
	}
	return fmt.Errorf("engine %q, want %s", string(e), quotedChoice([]EngineState{EngineIdle, EngineOverrun, EngineCruise, EngineSnap, EngineOff}))
}

func finite(v float64) bool { return v-v == 0 }
