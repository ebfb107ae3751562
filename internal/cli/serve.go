//go:build !js

package cli

import (
	"fmt"
	"os/exec"
	"runtime"
	"strconv"

	"github.com/spf13/cobra"

	"kneepoint/internal/web"
)

const serveLong = `Press the pedal yourself.

Opens a page on this machine's own address, where the scenario's car is driven in
real time: the booster cut open, the pedal, the engine, and the curves drawing
themselves. Nothing leaves the machine, and nobody else can open the page. Ends
with Ctrl-C.`

const lastPort = 65535

func (c *console) serveCommand() *cobra.Command {
	var f commonFlags
	var port int
	var quiet bool
	cmd := &cobra.Command{
		Use:                   "serve [FILE] [flags]",
		DisableFlagsInUseLine: true,
		Short:                 "A page to press the pedal on",
		Long:                  serveLong,
		Example:               examples("kneepoint serve", "kneepoint serve car.toml --port 8000 --no-open"),
		Args:                  oneFile,
		ValidArgsFunction:     completeFile,
		RunE: func(cmd *cobra.Command, args []string) error {
			if port < 0 || port > lastPort {
				return wrong("--port", strconv.Itoa(port), fmt.Sprintf("0 to %d; 0 is any free one", lastPort))
			}
			s, err := c.open(cmd.Context(), fileOf(args), &f)
			if err != nil {
				return err
			}
			c.warn(s)
			server, err := web.Listen(port, s, Verb)
			if err != nil {
				return err
			}
			fmt.Fprintln(c.out, server.URL())
			if !quiet {
				if err := browse(server.URL()); err != nil {
					c.say("no browser could be started (%v); open the address in one", err)
				}
			}
			c.say("Ctrl-C ends it")
			return server.Serve(cmd.Context())
		},
	}
	flags := cmd.Flags()
	flags.SortFlags = false
	flags.IntVar(&port, "port", 0, "the `N`umber of the port, any free one if it is 0")
	flags.BoolVar(&quiet, "no-open", false, "only print the address, without starting a browser")
	flags.StringArrayVar(&f.sets, "set", nil, "change one value, `path=value`; can be repeated")
	complete(cmd, "port", cobra.NoFileCompletions)
	complete(cmd, "set", completeSetting)
	return cmd
}

// browse starts the browser of the system and does not wait for it.
func browse(url string) error {
	var cmd *exec.Cmd
	switch runtime.GOOS {
	case "darwin":
		cmd = exec.Command("open", url)
	case "windows":
		cmd = exec.Command("rundll32", "url.dll,FileProtocolHandler", url)
	default:
		cmd = exec.Command("xdg-open", url)
	}
	if err := cmd.Start(); err != nil {
		return err
	}
	go cmd.Wait()
	return nil
}
