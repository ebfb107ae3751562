package main

import (
	"os"
	"path/filepath"
	"strings"

	"kneepoint/internal/chart"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// diagram is the reliability diagram: how often the first answer was right, over how
// sure it was stated to be. A diagnosis that means what it says lies on the diagonal.
func diagram(bins []bin, note string) answer.Figure {
	right := answer.Curve{Label: "first answer right", Dots: true}
	low := answer.Curve{Label: "95 % interval", Role: answer.Shadow}
	high := answer.Curve{Role: answer.Shadow}
	for _, b := range bins {
		if b.of == 0 {
			continue
		}
		stated := b.sum / float64(b.of)
		from, to := b.interval()
		right.X, right.Y = append(right.X, stated), append(right.Y, b.value())
		low.X, low.Y = append(low.X, stated), append(low.Y, from)
		high.X, high.Y = append(high.X, stated), append(high.Y, to)
	}
	share := func(label string) answer.Axis {
		return answer.Axis{Label: label, Dim: si.DimRatio, From: 0, To: 1}
	}
	return answer.Figure{Name: "reliability", Title: "Are stated chances kept?", Note: note, Panels: []answer.Panel{{
		X: share("Stated chance of the first answer"), Y: share("Share that was right"),
		Curves: []answer.Curve{
			{Label: "as stated", X: []float64{0, 1}, Y: []float64{0, 1}, Role: answer.Reference},
			low, high, right,
		},
	}}}
}

// draw writes a figure in the format that the file's name ends in.
func draw(fig answer.Figure, path string) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	if err := chart.Render(fig, si.SI, strings.TrimPrefix(filepath.Ext(path), "."), f); err != nil {
		f.Close()
		return err
	}
	return f.Close()
}
