package cli

import (
	"context"
	"io"
	"strings"

	"github.com/spf13/cobra"
)

// Command returns the tree of verbs, for what is written of it: manual pages and the
// shells' completions.
func Command() *cobra.Command {
	return (&console{ctx: context.Background(), in: strings.NewReader(""), out: io.Discard, err: io.Discard}).root()
}
