package cli

import (
	"errors"
	"fmt"
	"io"
	"runtime/debug"

	"github.com/spf13/cobra"

	"kneepoint/internal/licence"
	"kneepoint/internal/report"
)

const versionLong = `Which build of the program this is.

Prints its version, the commit it was built from and the compiler, which together
give the same program again. With --licences it lists what others wrote of it, modules
and fonts, each with its licence (by its SPDX identifier) and its copyright; a release
has the texts in its folder licences.`

func (c *console) versionCommand() *cobra.Command {
	var licences bool
	cmd := &cobra.Command{
		Use:                   "version [flags]",
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
		RunE: func(*cobra.Command, []string) error {
			if licences {
				return c.licences()
			}
			return c.version()
		},
	}
	cmd.Flags().BoolVar(&licences, "licences", false, "list what is inside, with each part's licence")
	return cmd
}

// licences lists what this build has linked.
func (c *console) licences() error {
	build, ok := debug.ReadBuildInfo()
	if !ok {
		return errors.New("this build does not know what it was made of")
	}
	parts, unknown := licence.Inside(build)
	err := c.put("", func(w io.Writer) error { return licence.Write(w, parts) })
	return errors.Join(unknown, err)
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
