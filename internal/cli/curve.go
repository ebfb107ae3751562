package cli

import (
	"context"
	"errors"

	"github.com/spf13/cobra"

	"kneepoint/internal/batch"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/study"
)

const curveLong = `How much help is there, and where does it end?

Presses the pedal slowly and draws the force curve: where the help begins, what
the booster multiplies by, and the knee, from which on every further pound is
the driver's own. A pedal without a booster stands beside it. With an electric
pump there is a curve for where it switches on and one for where it switches off.`

func (c *console) curveCommand() *cobra.Command {
	var vacua []string
	var manualRatio string
	var options study.CurveOptions
	return c.study(studyVerb{
		command: cobra.Command{
			Use:   "curve",
			Short: "How much help there is, and where it ends",
			Long:  curveLong,
			Example: examples(`kneepoint curve car.toml --plot curve.png`,
				`kneepoint curve --vacuum "20 inHg" --vacuum "11 inHg" --set booster.diameter="8 in"`),
		},
		flags: func(cmd *cobra.Command) {
			cmd.Flags().StringArrayVar(&vacua, "vacuum", nil, "draw it at this `vacuum`, as in \"11 inHg\"; can be repeated")
			cmd.Flags().StringVar(&manualRatio, "manual-ratio", "", "pedal `ratio` of the pedal without booster beside it")
			complete(cmd, "vacuum", cobra.NoFileCompletions)
			complete(cmd, "manual-ratio", cobra.NoFileCompletions)
		},
		prepare: func(s *scenario.Scenario) (*scenario.Scenario, error) {
			var problems []error
			for _, text := range vacua {
				// Each is read where the car is, as a vacuum measured there.
				at, err := override(s, "--vacuum", scenario.KeySourceVacuum, text, scenario.KeySourceMeasuredAt, scenario.KeySourceMeasuredPressure)
				if err != nil {
					problems = append(problems, err)
					continue
				}
				options.Vacua = append(options.Vacua, at.Config.Source.Vacuum)
			}
			if manualRatio != "" {
				changed, err := override(s, "--manual-ratio", scenario.KeyManualPedalRatio, manualRatio)
				problems = append(problems, err)
				s = changed
			}
			return s, errors.Join(problems...)
		},
		applies: func(*scenario.Scenario) bool { return true },
		ask: func(ctx context.Context, s *scenario.Scenario, w batch.Progress) (answer.Answer, error) {
			options.Watch = w
			return found(study.Curve(ctx, s, options))
		},
	})
}
