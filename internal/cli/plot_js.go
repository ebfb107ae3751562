package cli

import (
	"errors"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// In a page the pictures are the page's.
func checkPlot(path, _ string) error { return wrong("--plot", path, "no picture, in a page") }

func (c *console) plot(string, answer.Answer, si.System) error {
	return errors.New("--plot: a page draws its own pictures")
}
