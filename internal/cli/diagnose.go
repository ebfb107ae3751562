package cli

import (
	"context"
	"io"

	"github.com/spf13/cobra"

	"kneepoint/sim/answer"
	"kneepoint/sim/batch"
	"kneepoint/sim/diagnose"
	"kneepoint/sim/scenario"
)

const diagnoseLong = `Why is the pedal hard?

Simulates the car with every fault it may have and weighs each by the [[reading]]
entries of the scenario: which fault is likely, how sure that is, what speaks for
it, and which test to do next. --sheet prints the tests in the best order with
blanks; filled in, it is a scenario to diagnose.`

func (c *console) diagnoseCommand() *cobra.Command {
	var sheet bool
	cmd := c.study(studyVerb{
		command: cobra.Command{
			Use:   "diagnose",
			Short: "Find the fault from workshop readings, and the next test",
			Long:  diagnoseLong,
			Example: examples(`kneepoint diagnose hard-pedal.toml`,
				`kneepoint diagnose car.toml --sheet -o readings.toml`),
		},
		applies: func(s *scenario.Scenario) bool { return s.IsSet("reading") },
		ask: func(ctx context.Context, s *scenario.Scenario, w batch.Progress) (answer.Answer, error) {
			return found(diagnose.Diagnose(ctx, s, w))
		},
	})
	// No flag of the study, since a sheet is no answer.
	cmd.Flags().BoolVar(&sheet, "sheet", false, "print the tests in the best order, to fill in")
	run := cmd.RunE
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if !sheet {
			return run(cmd, args)
		}
		return c.sheet(cmd, fileOf(args))
	}
	return cmd
}

// sheet prints the sheet to fill in: a scenario, and no answer.
func (c *console) sheet(cmd *cobra.Command, file string) error {
	sets, _ := cmd.Flags().GetStringArray("set")
	f := commonFlags{format: cmd.Flag("format").Value.String(), units: cmd.Flag("units").Value.String(),
		output: cmd.Flag("output").Value.String(), plot: cmd.Flag("plot").Value.String(), sets: sets}
	s, err := c.open(cmd.Context(), file, &f)
	if err != nil {
		return err
	}
	if err := f.check(cmd, file); err != nil {
		return err
	}
	if f.format != "text" {
		return wrong("--format", f.format+" with --sheet", "text, since a sheet is TOML")
	}
	if f.plot != "" {
		return wrong("--plot", "a picture with --sheet", "no --plot: a sheet has none")
	}
	progress := c.watch(cmd.Name())
	text, err := diagnose.Sheet(cmd.Context(), s, f.textSystem(), progress.tell)
	progress.end()
	if err != nil {
		return err
	}
	return c.put(f.output, func(w io.Writer) error {
		_, err := io.WriteString(w, text)
		return err
	})
}
