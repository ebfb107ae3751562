package cli

import (
	"context"

	"github.com/spf13/cobra"

	"kneepoint/internal/batch"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/study"
)

const chooseLong = `Which booster, tank or pump, or none at all?

Simulates every combination of the parts in [choose] and holds each against what
is wanted there. The simplest that passes comes first. Interrupted, it prints
what was finished.`

func (c *console) chooseCommand() *cobra.Command {
	return c.study(studyVerb{
		command: cobra.Command{
			Use:   "choose",
			Short: "Which booster, tank or pump, or none at all",
			Long:  chooseLong,
			Example: examples(`kneepoint choose car.toml`,
				`kneepoint choose car.toml --set choose.max_diameter="9 in" --format csv`),
		},
		applies: func(s *scenario.Scenario) bool { return s.IsSet("choose") },
		ask: func(ctx context.Context, s *scenario.Scenario, w batch.Progress) (answer.Answer, error) {
			return found(study.Choose(ctx, s, w))
		},
	})
}
