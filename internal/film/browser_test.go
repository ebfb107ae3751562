package film

import (
	"bytes"
	"fmt"
	"html"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/browsertest"
	"kneepoint/internal/web"
)

// A browser given the same elements and the same styles paints the same picture, but for
// its letters, whose font is another.
func TestBrowserPaintsTheSame(t *testing.T) {
	b := browsertest.Open(t)
	for name, at := range map[string]float64{"big-cam-pump": 1.15, "manual-pedal": 2} {
		o := brief
		o.Width = 1280
		f := made(t, open(t, name), o)
		_, err := f.picture(t.Context(), at-0.02, 0)
		require.NoError(t, err)
		_, err = f.picture(t.Context(), at, 0.3)
		require.NoError(t, err)
		drop(f.script.root, "text", "canvas")
		marks, err := shoot(f.script.root, f.script.sheet, float64(f.Size.X)/sheetWidth)
		require.NoError(t, err)
		ours := f.worker()(marks)
		theirs := browserPicture(t, b, f)
		far, sum := 0, 0
		for i := range ours.Pix {
			d := max(int(ours.Pix[i])-int(theirs.Pix[i]), int(theirs.Pix[i])-int(ours.Pix[i]))
			sum += d
			if d > 48 {
				far++
			}
		}
		n := float64(len(ours.Pix))
		t.Logf("%s: %.4f of the values are far off, %.3f is the mean difference of 255", name, float64(far)/n, float64(sum)/n)
		assert.Less(t, float64(far)/n, 0.001, name)
		assert.Less(t, float64(sum)/n, 0.3, name)
	}
}

// drop takes elements of some names out of the tree.
func drop(n *node, names ...string) {
	kept := n.children[:0:0]
	for _, c := range n.children {
		if !strings.Contains(" "+strings.Join(names, " ")+" ", " "+c.name+" ") {
			drop(c, names...)
			kept = append(kept, c)
		}
	}
	n.children = kept
}

func browserPicture(t *testing.T, b *browsertest.Tab, f *Film) *image.RGBA {
	t.Helper()
	look, err := fs.ReadFile(web.Files(), "look.css")
	require.NoError(t, err)
	more, err := own.ReadFile("sheet.css")
	require.NoError(t, err)
	var page strings.Builder
	fmt.Fprintf(&page, `<!doctype html><style>%s%s html, body { margin: 0; overflow: hidden }</style>`, look, more)
	fmt.Fprintf(&page, `<svg width="%d" height="%d" viewBox="0 0 %d %d" style="display: block">`, f.Size.X, f.Size.Y, sheetWidth, sheetHeight)
	for _, c := range f.script.root.children {
		markup(&page, c)
	}
	page.WriteString("</svg>")
	file := filepath.Join(t.TempDir(), "sheet.html")
	require.NoError(t, os.WriteFile(file, []byte(page.String()), 0o666))
	b.Resize(int64(f.Size.X), int64(f.Size.Y))
	b.Visit("file://" + file)
	decoded, err := png.Decode(bytes.NewReader(b.Picture()))
	require.NoError(t, err)
	require.Equal(t, f.Size, decoded.Bounds().Size())
	out := image.NewRGBA(decoded.Bounds())
	draw.Draw(out, out.Rect, image.NewUniform(color.White), image.Point{}, draw.Src)
	draw.Draw(out, out.Rect, decoded, image.Point{}, draw.Over)
	return out
}

func markup(b *strings.Builder, n *node) {
	fmt.Fprintf(b, "<%s", n.name)
	for name, value := range n.attributes {
		if name != "class" {
			fmt.Fprintf(b, ` %s="%s"`, name, html.EscapeString(value))
		}
	}
	fmt.Fprintf(b, ` class="%s">%s`, strings.Join(n.ClassList.names, " "), html.EscapeString(n.TextContent))
	for _, c := range n.children {
		markup(b, c)
	}
	fmt.Fprintf(b, "</%s>", n.name)
}
