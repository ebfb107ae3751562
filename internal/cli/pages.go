//go:build !js

package cli

import "github.com/spf13/cobra"

// pageCommands are the verbs that a page itself has no use for.
func (c *console) pageCommands() []*cobra.Command {
	return []*cobra.Command{c.filmCommand(), c.serveCommand(), c.pageCommand()}
}

func (c *console) reports() []*cobra.Command { return []*cobra.Command{c.reportCommand()} }
