package sim

import "kneepoint/sim/si"

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
	Idle    EngineState = "idle"
	Overrun EngineState = "overrun"
	Cruise  EngineState = "cruise"
	Snap    EngineState = "snap"
	Off     EngineState = "off"
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
