package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"kneepoint/internal/batch"
	"kneepoint/scenarios"
	"kneepoint/sim/answer"
	"kneepoint/sim/fit"
	"kneepoint/sim/gaugelog"
	"kneepoint/sim/scenario"
)

const fitLong = `What does a logged gauge say about the car?

Simulates the car as the log has it, pedal by pedal, and changes the unknowns
until the model meets the gauges: with standard errors, and a plain word where
the log cannot tell two of them apart.

The last file is the log: a table with a header that names each column with its
unit, as in "time [s],front vacuum [inHg],pedal [lbf],line [psi]". The time, in
seconds or as a clock shows it (14:03:05.2), and one gauge are enough. A gauge
called manifold, hose, tank or working vacuum is compared with that place, any
other vacuum with the front chamber; "MAP [kPa]" or "booster [psi abs]" is an
absolute pressure. A file before it is the scenario; what stands there is where
the search begins. A dash in either place is standard input.

Several logs of one car are fitted together: name them all behind the scenario,
or with --log. Each has gauges, and a vacuum at its beginning, of its own.

Where the model does not meet the log, other causes are tried: a gauge that is
off, late or slow, or has a clock of its own, an engine that still ran, a figure
that the scenario leaves at its default, a fault. What explains far more is named;
all but a fault is taken in, with what the answer would be without it. Dropouts of
a gauge are left out, and named.`

func (c *console) fitCommand() *cobra.Command {
	var find []string
	var logs []string
	var ready *fit.Fit
	ctx := context.Background()
	cmd := c.study(studyVerb{
		command: cobra.Command{
			Use:   "fit",
			Short: "What a logged gauge says about the car",
			Long:  fitLong,
			Example: examples(`kneepoint fit gauge-log gauge-log.csv`, `kneepoint fit car.toml gauge.csv --plot fit.png`,
				`kneepoint fit car.toml gauge.csv --find front-shell-leak,booster.front_volume`,
				`kneepoint fit car.toml at-rest.csv presses.csv`),
		},
		flags: func(cmd *cobra.Command) {
			cmd.Flags().StringArrayVar(&find, "find", nil, "`unknowns` to find, with commas between: keys, faults, what a gauge does such as vacuum-offset or vacuum-delay; can be repeated")
			complete(cmd, "find", completeUnknown)
			cmd.Flags().StringArrayVar(&logs, "log", nil, "a `log`, in place of a last argument; can be repeated")
		},
		prepare: func(s *scenario.Scenario) (*scenario.Scenario, error) {
			if len(find) > 0 {
				changed, err := override(s, "--find", scenario.KeyFitFind, strings.Join(find, ","))
				if err != nil {
					return s, err
				}
				s = changed
			}
			if len(logs) == 0 {
				return s, wrong("--log", "nothing", "a log such as gauge.csv")
			}
			read := make([]*gaugelog.Log, len(logs))
			for i, log := range logs {
				progress := c.watch("fit: reading the log")
				l, err := c.readLog(ctx, log)
				progress.end()
				if err != nil {
					return s, err
				}
				read[i] = l
			}
			var err error
			ready, err = fit.New(s, read...)
			return s, err
		},
		ask: func(ctx context.Context, _ *scenario.Scenario, w batch.Progress) (answer.Answer, error) {
			return found(ready.Solve(ctx, w))
		},
	})
	cmd.Use = "fit [FILE] LOG.csv... [flags]"
	cmd.Args = func(cmd *cobra.Command, args []string) error {
		if cmd.Flags().Changed("log") {
			return oneFile(cmd, args)
		}
		return fileAndLogs(cmd, args)
	}
	cmd.ValidArgsFunction = completeFileAndLog
	run := cmd.RunE
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		ctx = cmd.Context()
		if !cmd.Flags().Changed("log") {
			first := 0
			if len(args) > 1 && !namesLog(args[0]) {
				first = 1
			}
			logs, args = args[first:], args[:first]
		}
		for _, log := range logs {
			if err := sparesLog(cmd, log); err != nil {
				return err
			}
		}
		return run(cmd, args)
	}
	return cmd
}

// fileAndLogs wants a log, or several, and allows a scenario before them.
func fileAndLogs(_ *cobra.Command, args []string) error {
	const want = `a log such as gauge.csv, or a scenario and its logs`
	if len(args) == 0 {
		return wrong("LOG", "nothing", want)
	}
	if len(args) == 1 && isScenario(args[0]) {
		return wrong("LOG", fmt.Sprintf("only %q, a scenario", args[0]), "a log behind it, such as gauge.csv")
	}
	for i, arg := range args {
		switch {
		case arg == "" && i == 0 && len(args) > 1:
			return wrong("FILE", "an empty name", "a scenario file, or - for standard input")
		case arg == "":
			return wrong("LOG", "an empty name", "a log, or - for standard input")
		case i > 0 && isScenario(arg):
			return wrong("LOG", fmt.Sprintf("%q, a scenario", arg), "the scenario first, and the log behind it")
		case slices.Contains(args[:i], arg):
			return wrong("LOG", fmt.Sprintf("%q twice", arg), "each file once, and at most one on standard input")
		}
	}
	return nil
}

func isScenario(name string) bool { return strings.EqualFold(filepath.Ext(name), ".toml") }

// namesLog says that a file before others is a log, too, and no scenario.
func namesLog(name string) bool {
	return slices.Contains([]string{".csv", ".tsv", ".txt", ".log"}, strings.ToLower(filepath.Ext(name)))
}

// sparesLog refuses to write over the log that is read.
func sparesLog(cmd *cobra.Command, log string) error {
	read, err := os.Stat(log)
	if err != nil {
		return nil // it will be named when it is opened
	}
	for _, flag := range []string{"output", "plot"} {
		path := cmd.Flag(flag).Value.String()
		if there, err := os.Stat(path); err == nil && os.SameFile(read, there) {
			return wrong("--"+flag, fmt.Sprintf("%q, the log itself", path), "another file")
		}
	}
	return nil
}

// readLog reads the log of a path; a dash stands for standard input.
func (c *console) readLog(ctx context.Context, path string) (*gaugelog.Log, error) {
	if path == "-" {
		return gaugelog.Read(ctx, c.in, "stdin")
	}
	l, err := readLogFile(ctx, path)
	var failed *fs.PathError
	if errors.As(err, &failed) {
		return nil, wrong(path+":1: log", failed.Err.Error(), "a log that can be read, or - for standard input")
	}
	return l, err
}

func readLogFile(ctx context.Context, path string) (*gaugelog.Log, error) {
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		if text, there := scenarios.Log(path); there == nil {
			return gaugelog.Read(ctx, bytes.NewReader(text), path)
		}
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return gaugelog.Read(ctx, f, path)
}

// completeFileAndLog completes a scenario and a log.
func completeFileAndLog(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	if len(args) == 0 {
		return []string{"toml", "csv", "tsv", "txt"}, cobra.ShellCompDirectiveFilterFileExt
	}
	return []string{"csv", "tsv", "txt"}, cobra.ShellCompDirectiveFilterFileExt
}

// completeUnknown completes the last of the names that have commas between them.
func completeUnknown(_ *cobra.Command, _ []string, typed string) ([]string, cobra.ShellCompDirective) {
	before, last := "", typed
	if i := strings.LastIndexByte(typed, ','); i >= 0 {
		before, last = typed[:i+1], typed[i+1:]
	}
	var out []string
	for _, name := range scenario.UnknownNames() {
		if strings.HasPrefix(name, last) {
			out = append(out, before+name)
		}
	}
	return out, cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveNoSpace
}
