package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"kneepoint/sim/answer"
	"kneepoint/sim/batch"
	"kneepoint/sim/fit"
	"kneepoint/sim/gaugelog"
	"kneepoint/sim/scenario"
)

const fitLong = `What does a logged gauge say about the car?

Simulates the car as the log has it, pedal by pedal, and changes the unknowns
until the model meets the gauges: with standard errors, and a plain word where
the log cannot tell two of them apart.

The last file is the log: a table with a header that names each column with its
unit, as in "time [s],front vacuum [inHg],pedal [lbf],line [psi]". The time and
one gauge are enough. A gauge called manifold, hose, tank or working vacuum is
compared with that place, any other vacuum with the front chamber. A file before
it is the scenario; what stands there is where the search begins. A dash in
either place is standard input.`

func (c *console) fitCommand() *cobra.Command {
	var find []string
	var log string
	var ready *fit.Fit
	ctx := context.Background()
	cmd := c.study(studyVerb{
		command: cobra.Command{
			Use:   "fit",
			Short: "What a logged gauge says about the car",
			Long:  fitLong,
			Example: examples(`kneepoint fit car.toml gauge.csv --plot fit.png`,
				`kneepoint fit car.toml gauge.csv --find front-shell-leak,booster.front_volume`),
		},
		flags: func(cmd *cobra.Command) {
			cmd.Flags().StringArrayVar(&find, "find", nil, "`unknowns` to find, with commas between: keys, faults, vacuum-offset, line-offset; can be repeated")
			complete(cmd, "find", completeUnknown)
			cmd.Flags().StringVar(&log, "log", "", "the `log`, in place of a last argument")
		},
		prepare: func(s *scenario.Scenario) (*scenario.Scenario, error) {
			if len(find) > 0 {
				changed, err := override(s, "--find", "fit.find", strings.Join(find, ","))
				if err != nil {
					return s, err
				}
				s = changed
			}
			if log == "" {
				return s, wrong("--log", "nothing", "a log such as gauge.csv")
			}
			progress := c.watch("fit: reading the log")
			l, err := c.readLog(ctx, log)
			progress.end()
			if err != nil {
				return s, err
			}
			ready, err = fit.New(s, l)
			return s, err
		},
		ask: func(ctx context.Context, _ *scenario.Scenario, w batch.Progress) (answer.Answer, error) {
			return found(ready.Solve(ctx, w))
		},
	})
	cmd.Use = "fit [FILE] LOG.csv [flags]"
	cmd.Args = func(cmd *cobra.Command, args []string) error {
		if cmd.Flags().Changed("log") {
			return oneFile(cmd, args)
		}
		return fileAndLog(cmd, args)
	}
	cmd.ValidArgsFunction = completeFileAndLog
	run := cmd.RunE
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		ctx = cmd.Context()
		if !cmd.Flags().Changed("log") {
			log, args = args[len(args)-1], args[:len(args)-1]
		}
		if err := sparesLog(cmd, log); err != nil {
			return err
		}
		return run(cmd, args)
	}
	return cmd
}

// fileAndLog wants a log, and allows a scenario before it.
func fileAndLog(_ *cobra.Command, args []string) error {
	const want = `a log such as gauge.csv, or a scenario and a log`
	switch {
	case len(args) == 0:
		return wrong("LOG", "nothing", want)
	case len(args) > 2:
		return wrong("LOG", strings.Join(quoted(args), " and "), want+"; a value with a space needs quotes")
	case args[len(args)-1] == "":
		return wrong("LOG", "an empty name", "a log, or - for standard input")
	case args[0] == "":
		return wrong("FILE", "an empty name", "a scenario file, or - for standard input")
	case len(args) == 1 && strings.EqualFold(filepath.Ext(args[0]), ".toml"):
		return wrong("LOG", fmt.Sprintf("only %q, a scenario", args[0]), "a log behind it, such as gauge.csv")
	case len(args) == 2 && strings.EqualFold(filepath.Ext(args[1]), ".toml"):
		return wrong("LOG", fmt.Sprintf("%q, a scenario", args[1]), "the scenario first, and the log behind it")
	case len(args) == 2 && args[0] == "-" && args[1] == "-":
		return wrong("LOG", `"-" twice`, "one of scenario and log on standard input")
	}
	return nil
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
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return gaugelog.Read(ctx, io.Reader(f), path)
}

// completeFileAndLog completes a scenario and a log.
func completeFileAndLog(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	switch len(args) {
	case 0:
		return []string{"toml", "csv", "tsv", "txt"}, cobra.ShellCompDirectiveFilterFileExt
	case 1:
		return []string{"csv", "tsv", "txt"}, cobra.ShellCompDirectiveFilterFileExt
	}
	return nil, cobra.ShellCompDirectiveNoFileComp
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
