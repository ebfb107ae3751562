package chart

import (
	"io"
	"testing"

	"kneepoint/sim/si"
)

func BenchmarkRender(b *testing.B) {
	for _, format := range Formats {
		b.Run(format, func(b *testing.B) {
			fig := timeFigure()
			for b.Loop() {
				if err := Render(fig, si.US, format, io.Discard); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
