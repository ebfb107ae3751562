package cli

import (
	"context"

	"github.com/spf13/cobra"

	"kneepoint/internal/batch"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/study"
)

const reserveLong = `How many stops are left?

Fills everything with vacuum, stops the engine, and makes stop after stop. Says
what the foot needs for each, and for how many the booster still helps. Of an
electric pump it says how long that takes, and whether it keeps up in traffic.
What is done is set by [reserve] in the scenario.`

func (c *console) reserveCommand() *cobra.Command {
	return c.study(studyVerb{
		command: cobra.Command{
			Use:   "reserve",
			Short: "How many stops are left when the engine dies",
			Long:  reserveLong,
			Example: examples(`kneepoint reserve car.toml`,
				`kneepoint reserve --set reservoir.volume="2 L" --set reserve.pedal="30 lbf"`),
		},
		applies: func(s *scenario.Scenario) bool {
			return s.Config.Booster.Kind != sim.BoosterNone || s.IsSet("reserve")
		},
		ask: func(ctx context.Context, s *scenario.Scenario, w batch.Progress) (answer.Answer, error) {
			return found(study.Reserve(ctx, s, w))
		},
	})
}
