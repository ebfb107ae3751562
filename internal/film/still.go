package film

import (
	"context"
	"encoding/xml"
	"fmt"
	"strconv"
	"strings"

	"kneepoint/internal/web"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// What of the drawing is there without the scale of its colours, in its units.
const stillWidth, stillHeight = 1000, 624

// Still draws the car's booster cut open at the end of a stop that holds a pedal force with
// the engine idling, as an svg element for an HTML page: without styles, and without
// elements that could be fetched. label says what it shows to who does not see it; id
// begins the ids within.
func Still(ctx context.Context, s *scenario.Scenario, pedal si.Force, units si.System, label, id string) (string, error) {
	press := s.Reserve.Stop(firstStopAt)
	press.Pedal, press.Deceleration = pedal, 0
	held := press.At + press.Press + press.Hold
	show, err := web.NewShow(ctx, s, sim.EngineIdle, sim.Schedule{Presses: []sim.Press{press}, Until: press.End()})
	if err != nil {
		return "", err
	}
	setup, err := web.Setup()
	if err != nil {
		return "", err
	}
	car, err := show.Car()
	if err != nil {
		return "", err
	}
	script, err := newScript("still", map[string]any{"setup": string(setup), "car": string(car), "units": units.String()})
	if err != nil {
		return "", err
	}
	if err := show.AdvanceTo(ctx, held); err != nil {
		return "", err
	}
	frame, err := show.Frame()
	if err != nil {
		return "", err
	}
	if err := script.show(frame, 0); err != nil {
		return "", err
	}
	e := engraver{shooter: shooter{sheet: script.sheet}, id: id}
	fmt.Fprintf(&e.text, `<svg class="picture" viewBox="0 0 %d %d" role="img" aria-label="%s">`, stillWidth, stillHeight, escaped(label))
	for _, n := range script.root.children {
		e.element(n, firstStyle())
	}
	e.text.WriteString("</svg>")
	return e.text.String(), nil
}

// An engraver writes a tree of elements down, each with the looks that the style sheet
// gives it.
type engraver struct {
	shooter
	id   string
	text strings.Builder
}

// drawn are the attributes that say where an element is.
var drawn = []string{"d", "x", "y", "width", "height", "rx", "cx", "cy", "r", "transform"}

func (e *engraver) element(n *node, above style) {
	e.chain = append(e.chain, n)
	defer func() { e.chain = e.chain[:len(e.chain)-1] }()
	look := e.styleOf(n, above)
	if n.name == "title" || n.name == "desc" || look.display == "none" || look.visibility == "hidden" {
		return
	}
	if n.name == "g" && len(n.children) == 0 || n.name == "text" && n.TextContent == "" {
		return
	}
	e.text.WriteString("<" + n.name)
	for _, name := range drawn {
		if value := n.attributes[name]; value != "" {
			e.put(name, value)
		}
	}
	if id := n.attributes["id"]; n.name == "clipPath" {
		e.put("id", e.id+"-"+id)
	}
	if url := n.attributes["clip-path"]; url != "" {
		e.put("clip-path", strings.Replace(url, "#", "#"+e.id+"-", 1))
	}
	if look.opacity < 1 {
		e.put("opacity", strconv.FormatFloat(look.opacity, 'f', -1, 64))
	}
	if n.name != "g" && n.name != "clipPath" {
		e.looks(n, look)
	}
	e.text.WriteString(">" + escaped(n.TextContent))
	for _, c := range n.children {
		e.element(c, look)
	}
	e.text.WriteString("</" + n.name + ">")
}

// looks writes what an element that is painted looks like.
func (e *engraver) looks(n *node, look style) {
	number := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	fill := look.fill
	if fill == "transparent" {
		fill = "none"
	}
	e.put("fill", fill)
	if look.stroke != "none" && look.stroke != "" {
		e.put("stroke", look.stroke)
		e.put("stroke-width", number(look.width))
		for _, more := range [][2]string{{"stroke-linejoin", look.join}, {"stroke-linecap", look.end}, {"stroke-dasharray", look.dash}} {
			if more[1] != "" && more[1] != "none" {
				e.put(more[0], more[1])
			}
		}
	}
	if n.name == "text" {
		e.put("font-size", number(look.size))
		if look.heavy {
			e.put("font-weight", "bold")
		}
		if look.anchor != "" {
			e.put("text-anchor", look.anchor)
		}
	}
}

func (e *engraver) put(name, value string) {
	fmt.Fprintf(&e.text, ` %s="%s"`, name, escaped(value))
}

func escaped(text string) string {
	var b strings.Builder
	xml.EscapeText(&b, []byte(text)) //nolint:errcheck // a builder takes everything
	return b.String()
}
