package cli

import (
	"context"

	"github.com/spf13/cobra"

	"kneepoint/internal/batch"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/study"
)

const balanceLong = `Which wheels lock first?

Moves the weight forward as the car slows, and holds the brake force of each axle
against its load: which axle locks first on the scenario's adhesion, at which
deceleration, line pressure and pedal force. Says whether a proportioning valve
is needed, and where it has to split.`

func (c *console) balanceCommand() *cobra.Command {
	return c.study(studyVerb{
		command: cobra.Command{
			Use:   "balance",
			Short: "Which wheels lock first, and the valve that is needed",
			Long:  balanceLong,
			Example: examples(`kneepoint balance car.toml --plot balance.png`,
				`kneepoint balance --set car.adhesion=0.5 --set brake.rear.piston_diameter="1 in"`),
		},
		applies: func(s *scenario.Scenario) bool { return s.IsSet("brake") || s.IsSet("valves") },
		ask: func(ctx context.Context, s *scenario.Scenario, w batch.Progress) (answer.Answer, error) {
			return found(study.Balance(ctx, s, w))
		},
	})
}
