package cli

import (
	"context"
	"os"
	"os/signal"
	"syscall"
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
	return Main(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
}
