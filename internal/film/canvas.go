package film

import (
	"math"
	"strconv"
	"strings"

	"github.com/grafana/sobek"
)

// A context2d records what the page's graphs draw on a canvas, with as much of the
// interface as they use.
type context2d struct {
	// object is what scripts see. They set the properties of a look on it, which are
	// read when something is drawn.
	object *sobek.Object
	vm     *sobek.Runtime

	look  look2d
	path  *outline
	saved []look2d
	marks []mark
}

// A look2d is what save keeps and restore brings back.
type look2d struct {
	width                float64
	join, font           string
	align, baseline      string
	fillStyle, penColour string
	dash                 []float64
}

func newContext2d(vm *sobek.Runtime) *context2d {
	c := &context2d{vm: vm, object: vm.NewObject(), path: &outline{}}
	c.show(look2d{1, "miter", "10px sans-serif", "start", "alphabetic", "#000000", "#000000", nil})
	for name, does := range map[string]func(v numbers){
		"setTransform": func(numbers) {},                // for dense screens; the film has its own scale
		"clearRect":    func(numbers) { c.marks = nil }, // nothing clears a part
		"beginPath":    func(numbers) { c.path = &outline{} },
		"moveTo":       func(v numbers) { c.path.moveTo(point{v(0), v(1)}) },
		"lineTo":       func(v numbers) { c.path.lineTo(point{v(0), v(1)}) },
		"arc":          func(v numbers) { c.circle(point{v(0), v(1)}, v(2), v(4)-v(3)) },
		"fill":         func(numbers) { c.fill(c.path.sofar()) },
		"stroke":       func(numbers) { c.stroke(c.path.sofar()) },
		"fillRect":     func(v numbers) { c.fill(rectangle(v(0), v(1), v(2), v(3), 0)) },
		"strokeRect":   func(v numbers) { c.stroke(rectangle(v(0), v(1), v(2), v(3), 0)) },
		"save":         func(numbers) { c.saved = append(c.saved, c.read()) },
		"restore":      func(numbers) { c.show(c.saved[len(c.saved)-1]); c.saved = c.saved[:len(c.saved)-1] },
	} {
		c.method(name, func(call sobek.FunctionCall) { does(func(i int) float64 { return call.Argument(i).ToFloat() }) })
	}
	c.method("setLineDash", func(call sobek.FunctionCall) {
		c.look.dash = nil
		if err := vm.ExportTo(call.Argument(0), &c.look.dash); err != nil {
			panic(vm.NewTypeError(err.Error()))
		}
	})
	c.method("fillText", func(call sobek.FunctionCall) { c.fill(c.letters(call)) })
	c.method("strokeText", func(call sobek.FunctionCall) { c.stroke(c.letters(call)) })
	return c
}

// numbers are the arguments of a call.
type numbers func(i int) float64

func (c *context2d) method(name string, does func(sobek.FunctionCall)) {
	c.set(name, func(call sobek.FunctionCall) sobek.Value {
		does(call)
		return sobek.Undefined()
	})
}

func (c *context2d) set(name string, value any) {
	if err := c.object.Set(name, value); err != nil {
		panic(err) // an object of our own can be written to
	}
}

// show puts a look where scripts see it.
func (c *context2d) show(l look2d) {
	c.look = l
	for name, value := range map[string]any{
		"lineWidth": l.width, "lineJoin": l.join, "font": l.font, "textAlign": l.align, "textBaseline": l.baseline,
		"fillStyle": l.fillStyle, "strokeStyle": l.penColour,
	} {
		c.set(name, value)
	}
}

// read takes the look that scripts have set.
func (c *context2d) read() look2d {
	text := func(name string) string { return c.object.Get(name).String() }
	c.look.width = c.object.Get("lineWidth").ToFloat()
	c.look.join, c.look.font, c.look.align, c.look.baseline = text("lineJoin"), text("font"), text("textAlign"), text("textBaseline")
	c.look.fillStyle, c.look.penColour = text("fillStyle"), text("strokeStyle")
	return c.look
}

// circle adds a whole one: no graph draws a part.
func (c *context2d) circle(at point, r, turn float64) {
	if turn < 2*math.Pi {
		panic(c.vm.NewTypeError("a part of a circle is not drawn here"))
	}
	c.path.ellipse(at, r, r)
}

func (c *context2d) fill(shape *outline) {
	if paint, ok := parseColour(c.read().fillStyle); ok {
		c.marks = append(c.marks, mark{shape: shape, fill: paint, filled: true})
	}
}

func (c *context2d) stroke(shape *outline) {
	l := c.read()
	if paint, ok := parseColour(l.penColour); ok {
		join := mitred
		if l.join == "round" {
			join = rounded
		}
		c.marks = append(c.marks, mark{shape: shape, pen: pen{colour: paint, width: l.width, join: join, dash: l.dash}})
	}
}

// letters places a text as align and baseline have it.
func (c *context2d) letters(call sobek.FunctionCall) *outline {
	text, x, y := call.Argument(0).String(), call.Argument(1).ToFloat(), call.Argument(2).ToFloat()
	l := c.read()
	size, bold := parseFont(l.font)
	word := lettering(text, size, bold)
	switch l.align {
	case "right", "end":
		x -= word.width
	case "center":
		x -= word.width / 2
	}
	switch l.baseline {
	case "middle":
		y += middleOfLetters * size
	case "top":
		y += topOfLetters * size
	}
	return word.shape.moved(x, y)
}

// parseFont reads "600 14px system-ui, sans-serif".
func parseFont(text string) (size float64, bold bool) {
	size = 10
	for _, word := range strings.Fields(text) {
		if px, ok := strings.CutSuffix(word, "px"); ok {
			if v, err := strconv.ParseFloat(px, 64); err == nil {
				return v, bold
			}
		} else if weight, err := strconv.Atoi(word); err == nil {
			bold = weight >= boldFrom
		}
	}
	return size, bold
}
