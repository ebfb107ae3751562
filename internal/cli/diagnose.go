package cli

import (
	"context"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"kneepoint/internal/batch"
	"kneepoint/internal/diagnose"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
)

const diagnoseLong = `Why is the pedal hard?

Simulates the car with every fault it may have and weighs each by the [[reading]]
entries of the scenario: which fault is likely, how sure that is, what speaks for
it, and which test to do next. --sheet prints the tests in the best order with
blanks; filled in, it is a scenario to diagnose.

--ask begins with the complaint and asks for one test after the other, the one
that tells most for its effort; an answer is a figure, a range, a bound, a word
or "can't tell". Every answer is written into FILE at once, so that "stop" leaves
it and the same command takes it up again.`

func (c *console) diagnoseCommand() *cobra.Command {
	var sheet, asks bool
	var tools []string
	cmd := c.study(studyVerb{
		command: cobra.Command{
			Use:   "diagnose",
			Short: "Find the fault from workshop readings, and the next test",
			Long:  diagnoseLong,
			Example: examples(`kneepoint diagnose hard-pedal.toml`,
				`kneepoint diagnose car.toml --sheet -o readings.toml`,
				`kneepoint diagnose car.toml --ask`),
		},
		flags: func(cmd *cobra.Command) {
			cmd.Flags().StringSliceVar(&tools, "tools", nil, "the `TOOLS` that the workshop has, joined by commas; without it all")
		},
		prepare: func(s *scenario.Scenario) (*scenario.Scenario, error) { return withTools(s, tools) },
		applies: func(s *scenario.Scenario) bool { return s.IsSet("reading") },
		ask: func(ctx context.Context, s *scenario.Scenario, w batch.Progress) (answer.Answer, error) {
			return found(diagnose.Diagnose(ctx, s, w))
		},
	})
	// No flag of the study, since a sheet is no answer.
	cmd.Flags().BoolVar(&sheet, "sheet", false, "print the tests in the best order, to fill in")
	cmd.Flags().BoolVar(&asks, "ask", false, "ask test by test, and write every answer into FILE")
	run := cmd.RunE
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		switch {
		case sheet && asks:
			return wrong("--ask", "together with --sheet", "one of the two")
		case sheet:
			return c.sheet(cmd, fileOf(args))
		case asks:
			return c.askForFault(cmd, fileOf(args), tools)
		}
		return run(cmd, args)
	}
	return cmd
}

// withTools puts the tools of the flag into a scenario.
func withTools(s *scenario.Scenario, tools []string) (*scenario.Scenario, error) {
	if len(tools) == 0 {
		return s, nil
	}
	return s.With(scenario.KeyDiagnoseTools, strings.Join(tools, ","))
}

// flagsOf are the common flags of a verb that answers in another way than studies do.
func flagsOf(cmd *cobra.Command) commonFlags {
	sets, _ := cmd.Flags().GetStringArray("set")
	return commonFlags{format: cmd.Flag("format").Value.String(), units: cmd.Flag("units").Value.String(),
		output: cmd.Flag("output").Value.String(), plot: cmd.Flag("plot").Value.String(), sets: sets}
}

// sheet prints the sheet to fill in: a scenario, and no answer.
func (c *console) sheet(cmd *cobra.Command, file string) error {
	f := flagsOf(cmd)
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
