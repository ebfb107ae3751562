package answer

import "kneepoint/sim/si"

// A Screen is the first look at an answer: what a reader came for, in the 24 lines of 80
// columns that a terminal shows. All of the answer is for who asks for all.
type Screen struct {
	// Verdict is the answer in paragraphs, with whatever may turn it.
	Verdict []string
	// Table is a short table behind the verdict; nil where words do.
	Table *Table
	// More is what is good to know besides, as far as there is room.
	More []string
	// DependsOn names what the verdict depends on most, without a full stop.
	DependsOn string
	// Next is what to do, without a full stop, and Command what to type for it; the zero
	// Command is none.
	Next    string
	Command Command
}

// A Command is a verb of the program to put to the same car.
type Command struct {
	Verb string
	// Args go behind the car.
	Args []string
}

// Screened is an answer with a first screen.
type Screened interface {
	Answer
	Screen(units si.System) Screen
}
