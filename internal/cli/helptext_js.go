package cli

import "github.com/spf13/cobra"

// helpTexts leaves the texts as they are: a page has its own.
func helpTexts(*cobra.Command) {}
