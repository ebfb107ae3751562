package cli

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"kneepoint/sim/si"
)

var (
	formats = []string{"text", "json", "csv"}
	systems = []string{"us", "si"}
)

// commonFlags are the flags of every verb that answers.
type commonFlags struct {
	format, units string
	sets          []string
	output, plot  string
	table         string
	verbose       bool
	// all asks for more than the first screen of a text.
	all bool
}

func (f *commonFlags) add(cmd *cobra.Command) {
	addFormat(cmd, &f.format)
	f.addCommon(cmd)
	cmd.Flags().StringVar(&f.table, "table", "", "with --format csv: the table of this `name`, not the first")
	complete(cmd, "table", cobra.NoFileCompletions)
}

// addCommon adds all but the format.
func (f *commonFlags) addCommon(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.SortFlags = false
	flags.StringVar(&f.units, "units", "", "print in `us|si` units (text: us, csv: si; json is always SI)")
	flags.StringArrayVar(&f.sets, "set", nil, "change one value, `path=value`; can be repeated")
	addOutput(cmd, &f.output)
	flags.BoolVar(&f.all, "all", false, "all of a text, not only the first screen")
	flags.BoolVar(&f.verbose, "verbose", false, "list every value, not only the main ones")
	complete(cmd, "units", cobra.FixedCompletions(systems, cobra.ShellCompDirectiveNoFileComp))
	complete(cmd, "set", completeSetting)
}

// addPlot is for verbs that have a picture.
func (f *commonFlags) addPlot(cmd *cobra.Command) {
	cmd.Flags().StringVar(&f.plot, "plot", "", "draw a picture into `FILE.png|.svg|.pdf`")
	complete(cmd, "plot", endings("png", "svg", "pdf"))
}

func addFormat(cmd *cobra.Command, format *string) {
	cmd.Flags().StringVar(format, "format", "text", "print as `text|json|csv`")
	complete(cmd, "format", cobra.FixedCompletions(formats, cobra.ShellCompDirectiveNoFileComp))
}

func addOutput(cmd *cobra.Command, output *string) {
	cmd.Flags().StringVarP(output, "output", "o", "", "write the result to `FILE` instead of standard output")
}

// check refuses what can be refused before anything is computed; input is the
// scenario's file.
func (f *commonFlags) check(cmd *cobra.Command, input string) error {
	problems := []error{noEmptyFlag(cmd)}
	problems = append(problems, checkChoice("--format", f.format, formats))
	if f.table != "" && f.format != "csv" {
		problems = append(problems, wrong("--table", fmt.Sprintf("%q with --format %s", f.table, f.format), "--format csv with it"))
	}
	if f.units != "" {
		problems = append(problems, checkChoice("--units", f.units, systems))
	}
	if toFile(f.output) {
		problems = append(problems, checkWritable("-o", f.output, input))
	}
	if f.plot != "" {
		problems = append(problems, checkPlot(f.plot, input))
		if f.plot == f.output {
			problems = append(problems, wrong("--plot", fmt.Sprintf("%q", f.plot), "another file than that of -o"))
		}
	}
	return errors.Join(problems...)
}

// noEmptyFlag refuses a flag that was given without anything in it.
func noEmptyFlag(cmd *cobra.Command) error {
	var problems []error
	cmd.Flags().Visit(func(flag *pflag.Flag) {
		if flag.Value.String() == "" {
			problems = append(problems, wrong("--"+flag.Name, "nothing", valueOf(flag)))
		}
	})
	return errors.Join(problems...)
}

// textSystem is the system of texts and pictures, where people look.
func (f *commonFlags) textSystem() si.System {
	if f.units == "si" {
		return si.SI
	}
	return si.US
}

// dataSystem is the system of tables for other programs.
func (f *commonFlags) dataSystem() si.System {
	if f.units == "us" {
		return si.US
	}
	return si.SI
}
