// Package study puts questions to the model, one file a question: a scenario
// goes in, a result comes out that is an answer.Answer. Every figure is read off
// a simulation; closed forms stand beside it and never in its place.
package study

import "kneepoint/sim/answer"

// A Watch is told how much of a study is done, out of how much. A nil one is
// not told.
type Watch func(done, total int)

func (w Watch) tell(done, total int) {
	if w != nil {
		w(done, total)
	}
}

// planningNote ends the note of every picture, which may be shown without the
// text that it came with.
const planningNote = answer.PlanningNote
