package main

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
	"kneepoint/sim/study"
)

// What docs/go.md promises to keep, used once: a change that a program would have to
// follow does not compile here.
func TestWhatIsKept(t *testing.T) {
	ctx := context.Background()
	car, err := scenario.Builtin()
	require.NoError(t, err)
	_, _ = scenario.Open, scenario.Read
	bore, err := si.ParseAs[si.Length]("7/8 in")
	require.NoError(t, err)
	car, err = car.WithSI("master.bore", float64(bore))
	require.NoError(t, err)
	car, err = car.With("reserve.stops", "1")
	require.NoError(t, err)
	require.Equal(t, bore, car.Config.Master.Bore)
	require.NotEmpty(t, car.String())

	var found answer.Answer
	found, err = study.Reserve(ctx, car, nil)
	require.NoError(t, err)
	require.NotEmpty(t, found.Words(si.US))
	_, _, _ = found.Tables(), found.Figures(), found.Document()
	found, err = study.Curve(ctx, car, study.CurveOptions{Vacua: []si.Vacuum{50e3}})
	require.NoError(t, err)
	require.NotNil(t, found)
	_, _, _, _ = study.Run, study.Choose, study.Balance, study.Failures

	model, err := sim.New(car.Config)
	require.NoError(t, err)
	session := model.Start()
	require.NoError(t, session.Settle(ctx, sim.EngineIdle))
	session.Engine(sim.EngineOff)
	session.Record()
	session.Pedal(100, 0.3)
	require.NoError(t, session.Advance(ctx, 1))
	require.Positive(t, session.State().Output)
	require.NotEmpty(t, session.Trajectory().Every(0.1))
	run, err := model.Run(ctx, car.Schedule())
	require.NoError(t, err)
	require.Equal(t, run.Until(), run.At(run.Until()).Time)
}
