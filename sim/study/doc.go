// Package study puts questions to the model, one file a question: a scenario
// goes in, a result comes out that is an answer.Answer. Every figure is read off
// a simulation; closed forms stand beside it and never in its place.
package study

import (
	"context"

	"kneepoint/internal/batch"
	"kneepoint/internal/precision"
	"kneepoint/sim"
	"kneepoint/sim/answer"
)

// A Watch is told how much of a study is done, out of how much. A nil one is
// not told.
type Watch = batch.Progress

// planningNote ends the note of every picture, which may be shown without the
// text that it came with.
const planningNote = answer.PlanningNote

// model assembles a car, to be solved as closely as most studies want it.
func model(ctx context.Context, c sim.Config) (*sim.Model, error) {
	return precision.New(ctx, c, sim.DefaultTolerance)
}
