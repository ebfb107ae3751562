// Kneepoint simulates a vacuum brake booster and the brakes around it.
package main

import (
	"os"

	"kneepoint/internal/cli"
)

func main() { os.Exit(cli.Process()) }
