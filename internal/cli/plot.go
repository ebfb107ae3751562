//go:build !js

package cli

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"kneepoint/internal/chart"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// checkPlot refuses a picture of a kind that cannot be drawn.
func checkPlot(path, input string) error {
	if !slices.Contains(chart.Formats, pictureFormat(path)) {
		return wrong("--plot", fmt.Sprintf("%q", path), "a name that ends in .png, .svg or .pdf")
	}
	return checkWritable("--plot", path, input)
}

func pictureFormat(path string) string {
	return strings.ToLower(strings.TrimPrefix(filepath.Ext(path), "."))
}

// plot draws the answer's first figure into the file, and each further one into
// a file beside it that has the figure's name too: car.png, car-influence.png.
func (c *console) plot(path string, ans answer.Answer, units si.System) error {
	figures := ans.Figures()
	if len(figures) == 0 {
		return fmt.Errorf("--plot: there is no picture of this result")
	}
	for i, figure := range figures {
		name := path
		if ext := filepath.Ext(path); i > 0 {
			name = strings.TrimSuffix(path, ext) + "-" + figure.Name + ext
		}
		err := c.writeFile(name, func(w io.Writer) error {
			return chart.Render(figure, units, pictureFormat(path), w)
		})
		if err != nil {
			return unwritten("--plot", err)
		}
		c.say("wrote %s", name)
	}
	return nil
}
