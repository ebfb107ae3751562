package study

import (
	"context"

	"kneepoint/internal/precision"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// RunOptions says how a run is sampled.
type RunOptions struct {
	// Every is the time from one sample to the next; zero for 10 ms.
	Every si.Time
	Watch Watch
}

const usualEvery si.Time = 10e-3

// runTolerance is the relative error for each step of a run: every sample is
// looked at, those in the middle of a rush of air too.
const runTolerance = sim.DefaultTolerance / 10

// mostSamples bounds the memory of one run.
const mostSamples = 2_000_000

// RunResult is what happened over a schedule.
type RunResult struct {
	Samples []sim.State
	title   string
	config  sim.Config
	plan    sim.Schedule
}

// Run plays the scenario's schedule. When the solver cannot finish, the result
// up to there comes with the error.
func Run(ctx context.Context, s *scenario.Scenario, o RunOptions) (*RunResult, error) {
	r := &RunResult{title: s.Title, config: s.Config, plan: s.Schedule()}
	m, err := precision.New(ctx, s.Config, runTolerance)
	if err != nil {
		return nil, err
	}
	every := o.Every
	if every <= 0 {
		every = usualEvery
	}
	every = max(every, r.plan.Until/mostSamples)
	t, failed := m.Run(ctx, r.plan)
	if t == nil || t.Until() == t.From() {
		return nil, failed
	}
	r.Samples = t.Every(every)
	o.Watch.Tell(1, 1)
	return r, failed
}
