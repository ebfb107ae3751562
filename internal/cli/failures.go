package cli

import (
	"context"

	"github.com/spf13/cobra"

	"kneepoint/internal/batch"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/study"
)

const failuresLong = `What is left when something fails?

Takes the vacuum, the engine and each of the circuits away, one at a time, and
says how the car still stops from 100 km/h, how far the pedal goes down, and
which pedal force meets what the standards ask. Tells a soft pedal from a hard
one.`

func (c *console) failuresCommand() *cobra.Command {
	return c.study(studyVerb{
		command: cobra.Command{
			Use:   "failures",
			Short: "What is left when vacuum, engine or a circuit fails",
			Long:  failuresLong,
			Example: examples(`kneepoint failures car.toml`,
				`kneepoint failures --set master.circuits=single --set reserve.force_limit="100 lbf"`),
		},
		applies: func(s *scenario.Scenario) bool { return s.IsSet("circuit") || s.IsSet(scenario.KeyMasterCircuits) },
		ask: func(ctx context.Context, s *scenario.Scenario, w batch.Progress) (answer.Answer, error) {
			return found(study.Failures(ctx, s, w))
		},
	})
}
