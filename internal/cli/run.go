package cli

import (
	"context"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"kneepoint/internal/batch"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
	"kneepoint/sim/study"
)

const runLong = `What happens, moment by moment?

Plays the presses and events of the scenario and records every force, pressure
and vacuum. A scenario without a press gets one.`

// shortestSample is finer than anything in the model changes.
const shortestSample si.Time = 10e-6

func (c *console) runCommand() *cobra.Command {
	var every string
	var options study.RunOptions
	return c.study(studyVerb{
		command: cobra.Command{
			Use:   "run",
			Short: "What happens, moment by moment",
			Long:  runLong,
			Example: examples(`kneepoint run car.toml --plot run.png`,
				`kneepoint run car.toml --format csv --every 20ms -o run.csv`),
		},
		flags: func(cmd *cobra.Command) {
			cmd.Flags().StringVar(&every, "every", "10ms", "`time` from one sample to the next")
			complete(cmd, "every", cobra.NoFileCompletions)
		},
		prepare: func(s *scenario.Scenario) (*scenario.Scenario, error) {
			var err error
			options.Every, err = sampleTime(every)
			return s, err
		},
		applies: func(s *scenario.Scenario) bool { return s.IsSet("press") || s.IsSet("event") },
		ask: func(ctx context.Context, s *scenario.Scenario, w batch.Progress) (answer.Answer, error) {
			options.Watch = w
			return found(study.Run(ctx, s, options))
		},
	})
}

// sampleTime reads "10 ms" as a scenario has it, and "1m30s" as Go does.
func sampleTime(text string) (si.Time, error) {
	t, err := si.ParseAs[si.Time](text)
	if err != nil {
		d, wrongToo := time.ParseDuration(text)
		if wrongToo != nil {
			return 0, wrong("--every", fmt.Sprintf("%q", text), `a time such as "10 ms"`)
		}
		t = si.Time(d.Seconds())
	}
	if t < shortestSample {
		return 0, wrong("--every", fmt.Sprintf("%q", text), "at least 0.01 ms")
	}
	return t, nil
}
