package cli

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"kneepoint/internal/report"
	"kneepoint/scenarios"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

const newLong = `Start a scenario of your own.

Lists the starter scenarios, or prints the one named, to be changed in any
editor.`

// schemaLines name the schema of a scenario for editors of TOML, and say where it is from.
const schemaLines = "#:schema " + scenario.SchemaFile + "\n" +
	"# For an editor that checks keys: kneepoint keys --format json -o " + scenario.SchemaFile + "\n\n"

func (c *console) newCommand() *cobra.Command {
	var format, output string
	var force bool
	cmd := &cobra.Command{
		Use:                   "new [NAME] [flags]",
		DisableFlagsInUseLine: true,
		Short:                 "Start a scenario of your own",
		Long:                  newLong,
		Example:               examples("kneepoint new", "kneepoint new big-cam-nine -o mine.toml"),
		Args:                  oneName,
		ValidArgsFunction:     completeStarter,
		RunE: func(_ *cobra.Command, args []string) error {
			problems := []error{checkChoice("--format", format, formats)}
			if toFile(output) {
				problems = append(problems, checkNew("-o", output, "", force))
			}
			if err := errors.Join(problems...); err != nil {
				return err
			}
			if len(args) == 0 {
				return c.put(output, func(w io.Writer) error { return listStarters(w, format) })
			}
			text, err := scenarios.Read(args[0])
			if err != nil {
				return wrong("NAME", fmt.Sprintf("%q", args[0]), perhapsStarter(oneOf(scenarios.Names()), args[0]))
			}
			if format != "text" {
				return wrong("--format", format+" with a NAME", "text, since a scenario is TOML; without a NAME the list can be "+format)
			}
			return c.put(output, func(w io.Writer) error {
				_, err := io.WriteString(w, schemaLines+string(text))
				return err
			})
		},
	}
	cmd.Flags().SortFlags = false
	addFormat(cmd, &format)
	addOutput(cmd, &output)
	cmd.Flags().BoolVar(&force, "force", false, "let -o replace a file that exists")
	return cmd
}

func oneName(_ *cobra.Command, args []string) error {
	if len(args) > 1 {
		return wrong("NAME", fmt.Sprintf("%d names", len(args)), "one")
	}
	return nil
}

func completeStarter(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	if len(args) > 0 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	var out []string
	for _, s := range starters() {
		out = append(out, s.Name+"\t"+s.Title)
	}
	return out, cobra.ShellCompDirectiveNoFileComp
}

// A starter is one line of the list.
type starter struct {
	Name  string `json:"name"`
	Title string `json:"title"`
}

func starters() []starter {
	var out []starter
	for _, name := range scenarios.Names() {
		out = append(out, starter{Name: name, Title: scenarios.Title(name)})
	}
	return out
}

func listStarters(w io.Writer, format string) error {
	list := starterList(starters())
	switch format {
	case "json":
		return report.JSON(w, list)
	case "csv":
		return report.CSV(w, list, si.SI, "")
	}
	// No caution, unlike a report's text: this says nothing about any car.
	columns := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, s := range list {
		fmt.Fprintf(columns, "%s\t%s\n", s.Name, s.Title)
	}
	return columns.Flush()
}

// starterList is the list as an answer, for its JSON and CSV.
type starterList []starter

func (l starterList) Words(si.System) []string { return nil }
func (l starterList) Figures() []answer.Figure { return nil }
func (l starterList) Document() any            { return slices.Clone(l) }

func (l starterList) Tables() []answer.Table {
	t := answer.Table{Name: "starters", Columns: []answer.Column{{Key: "name", Title: "name"}, {Key: "title", Title: "title"}}}
	for _, s := range l {
		t.Rows = append(t.Rows, []answer.Cell{s.Name, s.Title})
	}
	return []answer.Table{t}
}
