package chart

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"html"
	"io"
	"strconv"
	"strings"

	"gonum.org/v1/plot/vg"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// adaptive is the class of a picture whose colours DarkCSS can change. A field keeps
// its own: it goes from light to dark, and turned over it would say the opposite.
const adaptive = "adapts"

// Inline returns the figure as an svg element to stand within an HTML page, width
// points wide before the page scales it. Title and note are left out: they are the
// page's to set, and a screen reader gets the title with Describe. Every id in it
// begins with the one given. It has no style attribute, which a strict content policy
// would refuse, and no typeface, which is the page's own; every text keeps the length
// it has in the typeface that it was placed with.
func Inline(fig answer.Figure, units si.System, width float64, id string) (string, error) {
	bare := fig
	bare.Title, bare.Note = "", ""
	var file bytes.Buffer
	if _, err := RenderLayout(bare, units, "svg", Size{Width: width}, &file); err != nil {
		return "", err
	}
	in := inliner{fig: fig, units: units, id: id}
	d := xml.NewDecoder(&file)
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return in.out.String(), nil
		}
		if err != nil {
			return "", fmt.Errorf("drawing %q for a page: %w", fig.Name, err)
		}
		in.take(token)
	}
}

// An inliner writes the parts of an SVG file as they stand in a page.
type inliner struct {
	fig   answer.Figure
	units si.System
	id    string
	out   strings.Builder
	size  float64 // of the text
	// words are those of a text that has begun; its tag ends when their length is known.
	words string
}

func (in *inliner) take(token xml.Token) {
	switch t := token.(type) {
	case xml.StartElement:
		in.words = ""
		in.out.WriteString("<" + t.Name.Local)
		for _, a := range t.Attr {
			in.attribute(t.Name.Local, a)
		}
		switch t.Name.Local {
		case "svg":
			in.head()
		case "text":
		default:
			in.out.WriteString(">")
		}
	case xml.EndElement:
		if t.Name.Local == "text" {
			in.text()
		}
		in.out.WriteString("</" + t.Name.Local + ">")
	case xml.CharData:
		in.words += string(t)
	}
}

// head ends the first tag, and names and describes the picture.
func (in *inliner) head() {
	class := "picture"
	if !hasField(in.fig) {
		class += " " + adaptive
	}
	fmt.Fprintf(&in.out, ` class="%s" role="img" aria-labelledby="%s-title %s-text"><title id="%s-title">%s</title><desc id="%s-text">%s</desc>`,
		class, in.id, in.id, in.id, html.EscapeString(printable(in.fig.Title)), in.id, html.EscapeString(printable(Describe(in.fig, in.units))))
}

func (in *inliner) text() {
	length := face(vg.Length(in.size)).Width(in.words)
	fmt.Fprintf(&in.out, ` textLength="%.2f" lengthAdjust="spacingAndGlyphs">%s`, float64(length), html.EscapeString(in.words))
}

func (in *inliner) attribute(element string, a xml.Attr) {
	switch {
	case a.Name.Space == "xmlns" || a.Name.Local == "xmlns":
		return
	case element == "svg" && a.Name.Local != "viewBox":
		return // the page sizes it
	case a.Name.Local != "style":
		in.put(a.Name.Local, a.Value)
		return
	}
	for _, declaration := range strings.Split(a.Value, ";") {
		name, value, ok := strings.Cut(declaration, ":")
		name, value = strings.TrimSpace(name), strings.TrimSpace(value)
		switch {
		case !ok || name == "font-family" || value == "normal":
		default:
			value = strings.TrimSuffix(value, "px")
			if name == "font-size" {
				in.size, _ = strconv.ParseFloat(value, 64)
			}
			in.put(name, value)
		}
	}
}

func (in *inliner) put(name, value string) {
	in.out.WriteString(" " + name + `="` + html.EscapeString(value) + `"`)
}

func hasField(fig answer.Figure) bool {
	for _, p := range fig.Panels {
		if p.Field != nil {
			return true
		}
	}
	return false
}
