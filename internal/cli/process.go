package cli

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"os/signal"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"kneepoint/internal/report"
)

// patience is how long a command may take to end by itself after an interrupt, so that
// it says what it has; then the program ends, within a second of the interrupt.
const patience = 850 * time.Millisecond

// Process runs the command line of this process and returns its exit status. An
// interrupt, or a request to terminate, ends the command, whatever it waits for and
// without leaving half a file; a second one ends the program at once.
func Process() int {
	ctx, restore := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, func() {
		restore()
		time.Sleep(patience)
		report.Discard()
		fmt.Fprintln(os.Stderr, "stopped")
		os.Exit(notComputed)
	})
	// Whoever reads a pipe may have read enough: the write says so, and the program
	// need not die of it.
	ignoreClosedPipes()
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
