// Kneepoint simulates a vacuum brake booster and the brakes around it.
package main

import (
	"context"
	"os"
	"os/signal"

	"kneepoint/internal/cli"
)

func main() {
	ctx, restore := signal.NotifyContext(context.Background(), os.Interrupt)
	// A second interrupt ends the program at once.
	context.AfterFunc(ctx, restore)
	os.Exit(cli.Main(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
