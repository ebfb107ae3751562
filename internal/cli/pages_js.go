package cli

import "github.com/spf13/cobra"

func (c *console) pageCommands() []*cobra.Command { return nil }

func (c *console) reports() []*cobra.Command { return nil }
