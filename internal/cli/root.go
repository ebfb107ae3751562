package cli

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

const rootLong = `Kneepoint answers questions about a vacuum brake booster: how much help it
gives, where the help ends, and how many stops are left when the engine dies.

A FILE describes the car, or is the name of an example that "kneepoint new" lists;
what it does not say is assumed. Without one a verb takes a typical car. Every
answer says what it assumed. A dash stands for standard input.`

func (c *console) root() *cobra.Command {
	root := &cobra.Command{
		Use:               "kneepoint",
		Short:             "A vacuum brake booster, simulated",
		Long:              rootLong,
		Example:           examples(`kneepoint curve --set source.vacuum="11 inHg"`, `kneepoint new big-cam-nine -o mine.toml`),
		SilenceErrors:     true,
		SilenceUsage:      true,
		CompletionOptions: cobra.CompletionOptions{HiddenDefaultCmd: false},
		Args:              knownVerb,
		RunE:              func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	root.SuggestionsMinimumDistance = 2
	root.SetIn(c.in)
	root.SetOut(c.out)
	root.SetErr(c.err)
	helpTexts(root)
	root.SetFlagErrorFunc(flagError)
	// A report has its studies in this order: what the scenario asks in particular first.
	root.AddCommand(c.diagnoseCommand(), c.fitCommand(), c.chooseCommand(), c.curveCommand(), c.reserveCommand(), c.balanceCommand(),
		c.failuresCommand(), c.sweepCommand(), c.runCommand())
	root.AddCommand(c.askCommand(), c.compareCommand(), c.keysCommand(), c.newCommand(), c.checkCommand(), c.versionCommand())
	root.AddCommand(c.pageCommands()...)
	// After every verb that it can put on a page.
	root.AddCommand(c.reports()...)
	c.addVersion(root)
	root.SetHelpCommand(helpCommand())
	root.InitDefaultHelpCmd()
	root.InitDefaultCompletionCmd()
	for _, cmd := range root.Commands() {
		if cmd.Name() == "completion" {
			describeCompletion(cmd)
		}
	}
	return root
}

func helpCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "help [VERB]",
		Short: "Say more about a verb",
		RunE: func(cmd *cobra.Command, args []string) error {
			topic, rest, err := cmd.Root().Find(args)
			if err != nil || len(rest) > 0 {
				return unknownVerb(cmd.Root(), args[0])
			}
			topic.InitDefaultHelpFlag()
			return topic.Help()
		},
	}
}

// examples indents command lines for a help text.
func examples(lines ...string) string { return "  " + strings.Join(lines, "\n  ") }

// knownVerb is what is left of the command line for the root: nothing, unless
// there is no such verb.
func knownVerb(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	return unknownVerb(cmd, args[0])
}

func unknownVerb(root *cobra.Command, name string) error {
	want := `a verb that "kneepoint --help" lists`
	if near := root.SuggestionsFor(name); len(near) > 0 {
		want += ", perhaps " + oneOf(near)
	}
	return wrong("VERB", fmt.Sprintf("%q", name), want)
}

// flagError turns the flag parser's errors into ours.
func flagError(cmd *cobra.Command, err error) error {
	// The flags of a verb that does not exist are not known either; the verb is
	// the slip to name.
	if !cmd.HasParent() {
		if verb := cmd.Flags().Args(); len(verb) > 0 {
			return unknownVerb(cmd, verb[0])
		}
	}
	lists := fmt.Sprintf("a flag that %q lists", cmd.CommandPath()+" --help")
	var unknown *pflag.NotExistError
	var bare *pflag.ValueRequiredError
	var bad *pflag.InvalidValueError
	switch {
	case errors.As(err, &unknown):
		name := dashed(unknown.GetSpecifiedName(), unknown.GetSpecifiedShortnames() != "")
		if near := nearestFlag(cmd, unknown.GetSpecifiedName()); near != "" {
			lists += ", perhaps --" + near
		}
		return wrong(name, "an unknown flag", lists)
	case errors.As(err, &bare):
		return wrong(dashed(bare.GetSpecifiedName(), bare.GetSpecifiedShortnames() != ""), "nothing", valueOf(bare.GetFlag()))
	case errors.As(err, &bad):
		return wrong("--"+bad.GetFlag().Name, fmt.Sprintf("%q", bad.GetValue()), "a value of the kind "+bad.GetFlag().Value.Type())
	}
	return wrong("flags", err.Error(), lists)
}

// valueOf names what a flag takes.
func valueOf(f *pflag.Flag) string {
	name, _ := pflag.UnquoteUsage(f)
	return name
}

func dashed(name string, short bool) string {
	if short {
		return "-" + name
	}
	return "--" + name
}

// nearestFlag returns the flag of which the beginning was typed, or that begins
// what was typed.
func nearestFlag(cmd *cobra.Command, name string) string {
	near := ""
	cmd.Flags().VisitAll(func(f *pflag.Flag) {
		if near == "" && len(name) > 1 && (strings.HasPrefix(f.Name, name) || strings.HasPrefix(name, f.Name)) {
			near = f.Name
		}
	})
	return near
}
