package cli

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"kneepoint/internal/report"
)

const versionLong = `Which build of the program this is.

Prints its version, the commit it was built from and the compiler, which together
give the same program again.`

func (c *console) versionCommand() *cobra.Command {
	return &cobra.Command{
		Use:                   "version",
		DisableFlagsInUseLine: true,
		Short:                 "Which build of the program this is",
		Long:                  versionLong,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 0 {
				return wrong("version", fmt.Sprintf("%q", args[0]), "nothing after it")
			}
			return nil
		},
		ValidArgsFunction: cobra.NoFileCompletions,
		RunE:              func(*cobra.Command, []string) error { return c.version() },
	}
}

func (c *console) version() error {
	return c.put("", func(w io.Writer) error {
		_, err := fmt.Fprintln(w, report.ThisProgram())
		return err
	})
}

// addVersion gives the root the flag that other programs have.
func (c *console) addVersion(root *cobra.Command) {
	var asked bool
	help := root.RunE
	root.Flags().BoolVar(&asked, "version", false, "say which build of the program this is")
	root.RunE = func(cmd *cobra.Command, args []string) error {
		if asked {
			return c.version()
		}
		return help(cmd, args)
	}
}
