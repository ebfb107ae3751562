package cli

import (
	"encoding/json"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/chart"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
	"kneepoint/sim/study"
)

// The mark in the picture is the knee of the JSON: the place of the JSON's knee in
// the picture is where the picture has its one spot in the colour of marks.
func TestPlotMarksTheKnee(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "curve.png")
	set := "source.vacuum=14 inHg"
	status, stdout, _ := run(t, "curve", "--format", "json", "--plot", path, "--set", set)
	require.Equal(t, done, status)
	var doc struct {
		Knee struct {
			Pedal float64 `json:"pedal_n"`
			Line  float64 `json:"line_pa"`
		} `json:"knee"`
	}
	require.NoError(t, json.Unmarshal([]byte(stdout), &doc))
	require.NotZero(t, doc.Knee.Pedal)

	s, err := scenario.Builtin(set)
	require.NoError(t, err)
	r, err := study.Curve(t.Context(), s, study.CurveOptions{})
	require.NoError(t, err)
	fig := r.Figures()[0]
	fig.Panels[0].Marks = []answer.Mark{{Label: "knee", X: doc.Knee.Pedal, Y: doc.Knee.Line}}
	layout, err := chart.RenderLayout(fig, si.US, "png", chart.Size{}, io.Discard)
	require.NoError(t, err)
	require.Len(t, layout.Marks, 1)

	x, y, n := spot(t, path)
	require.Positive(t, n, "the picture has a mark")
	const pixel = 1.5
	assert.InDelta(t, layout.Marks[0].X, x, pixel)
	assert.InDelta(t, layout.Marks[0].Y, y, pixel)
}

// spot returns the middle of all pixels in the colour of marks, and their number.
func spot(t *testing.T, path string) (x, y float64, n int) {
	t.Helper()
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	img, err := png.Decode(f)
	require.NoError(t, err)
	r, g, b, _ := chart.MarkColor.RGBA()
	area := image.Rectangle{}
	for py := range img.Bounds().Dy() {
		for px := range img.Bounds().Dx() {
			if !alike(img.At(px, py), r, g, b) {
				continue
			}
			x, y, n = x+float64(px)+0.5, y+float64(py)+0.5, n+1
			area = area.Union(image.Rect(px, py, px+1, py+1))
		}
	}
	assert.Less(t, math.Max(float64(area.Dx()), float64(area.Dy())), 40.0, "there is one spot")
	return x / float64(n), y / float64(n), n
}

func alike(c color.Color, r, g, b uint32) bool {
	cr, cg, cb, _ := c.RGBA()
	return cr == r && cg == g && cb == b
}
