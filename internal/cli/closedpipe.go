//go:build !js

package cli

import (
	"os/signal"
	"syscall"
)

// ignoreClosedPipes keeps the program from dying of a pipe that nobody reads any longer.
func ignoreClosedPipes() { signal.Ignore(syscall.SIGPIPE) }
