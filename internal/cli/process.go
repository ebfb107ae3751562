package cli

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"os/signal"
	"syscall"

	"github.com/spf13/cobra"
)

// Process runs the command line of this process and returns its exit status. An
// interrupt, or a request to terminate, ends the command; a second one ends the
// program at once.
func Process() int {
	ctx, restore := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, restore)
	// Whoever reads a pipe may have read enough: the write says so, and the program
	// need not die of it.
	signal.Ignore(syscall.SIGPIPE)
	// Cobra would answer a double click with a complaint.
	cobra.MousetrapHelpText = ""
	args, clicked := asClicked(os.Args, thisStart())
	status := Main(ctx, args, os.Stdin, os.Stdout, os.Stderr)
	if clicked && status != done && ctx.Err() == nil {
		// The window closes with the program, and nobody could read why.
		fmt.Fprintln(os.Stderr, "Enter closes this window.")
		_, _ = bufio.NewReader(interruptible{ctx, os.Stdin}).ReadString('\n')
	}
	return status
}
