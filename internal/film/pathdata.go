package film

import (
	"fmt"
	"math"
	"strconv"
)

// parseNumbers reads numbers apart by spaces, commas or only their signs.
func parseNumbers(text string) ([]float64, error) {
	var out []float64
	for i := 0; ; {
		v, next, ok := number(text, i)
		if !ok {
			return out, nil
		}
		f, err := strconv.ParseFloat(v, 64)
		if err != nil {
			return nil, fmt.Errorf("%q: %w", text, err)
		}
		out = append(out, f)
		i = next
	}
}

// number finds the next number of a text from i on; ok is false where a letter, or
// the end, comes first.
func number(text string, i int) (found string, next int, ok bool) {
	for i < len(text) && (text[i] == ' ' || text[i] == ',' || text[i] == '\n' || text[i] == '\t') {
		i++
	}
	start := i
	if i < len(text) && (text[i] == '-' || text[i] == '+') {
		i++
	}
	dot := false
	digits := 0
scan:
	for ; i < len(text); i++ {
		switch c := text[i]; {
		case c >= '0' && c <= '9':
			digits++
		case c == '.' && !dot:
			dot = true
		case c == 'e' && digits > 0 && i+1 < len(text):
			if s := text[i+1]; s == '-' || s == '+' {
				i++
			}
		default:
			break scan
		}
	}
	return text[start:i], i, digits > 0
}

// wants is how many numbers a command of a path takes.
var wants = map[byte]int{'M': 2, 'L': 2, 'H': 1, 'V': 1, 'C': 6, 'Q': 4, 'A': 7, 'Z': 0}

// parsePath reads the d of a path.
func parsePath(text string) (*outline, error) {
	o := &outline{}
	var at, start point
	var command byte
	for i := 0; i < len(text); {
		c := text[i]
		if c == ' ' || c == ',' || c == '\n' || c == '\t' {
			i++
			continue
		}
		if upper := c &^ 0x20; upper >= 'A' && upper <= 'Z' {
			if _, known := wants[upper]; !known {
				return nil, fmt.Errorf("path %q: %q is not drawn here", text, string(c))
			}
			command = c
			i++
		} else if command == 0 || command&^0x20 == 'Z' {
			return nil, fmt.Errorf("path %q: a number without a command", text)
		}
		upper := command &^ 0x20
		v := make([]float64, wants[upper])
		for k := range v {
			found, next, ok := number(text, i)
			if !ok {
				return nil, fmt.Errorf("path %q: too few numbers after %q", text, string(command))
			}
			f, err := strconv.ParseFloat(found, 64)
			if err != nil {
				return nil, fmt.Errorf("path %q: %w", text, err)
			}
			v[k], i = f, next
		}
		var from point // what coordinates count from
		if command != upper {
			from = at
		}
		p := func(k int) point { return point{from.x + v[k], from.y + v[k+1]} }
		switch upper {
		case 'M':
			at = p(0)
			start = at
			o.moveTo(at)
			command -= 'M' - 'L' // further pairs are lines
		case 'L':
			at = p(0)
			o.lineTo(at)
		case 'H':
			at.x = from.x + v[0]
			o.lineTo(at)
		case 'V':
			at.y = from.y + v[0]
			o.lineTo(at)
		case 'C':
			o.cubicTo(p(0), p(2), p(4))
			at = p(4)
		case 'Q':
			o.quadTo(p(0), p(2))
			at = p(2)
		case 'A':
			end := p(5)
			o.arc(at, end, v[0], v[3] != 0, v[4] != 0)
			at = end
		case 'Z':
			o.close()
			at = start
		}
	}
	return o, nil
}

// arc is a part of a circle between two points, the longer one if large, clockwise
// if sweep.
func (o *outline) arc(from, to point, r float64, large, sweep bool) {
	dx, dy := to.x-from.x, to.y-from.y
	chord := math.Hypot(dx, dy)
	if chord == 0 {
		return
	}
	r = math.Max(r, chord/2)
	height := math.Sqrt(math.Max(0, r*r-chord*chord/4))
	if large == sweep {
		height = -height
	}
	c := point{(from.x+to.x)/2 - height*dy/chord, (from.y+to.y)/2 + height*dx/chord}
	a0 := math.Atan2(from.y-c.y, from.x-c.x)
	turn := math.Atan2(to.y-c.y, to.x-c.x) - a0
	if sweep && turn < 0 {
		turn += 2 * math.Pi
	}
	if !sweep && turn > 0 {
		turn -= 2 * math.Pi
	}
	n := int(math.Ceil(math.Abs(turn) / (math.Pi / 2)))
	step := turn / float64(n)
	k := 4. / 3 * math.Tan(step/4) * r
	for i := range n {
		s0, c0 := math.Sincos(a0 + float64(i)*step)
		s1, c1 := math.Sincos(a0 + float64(i+1)*step)
		end := point{c.x + r*c1, c.y + r*s1}
		if i == n-1 {
			end = to
		}
		o.cubicTo(point{c.x + r*c0 - k*s0, c.y + r*s0 + k*c0}, point{c.x + r*c1 + k*s1, c.y + r*s1 - k*c1}, end)
	}
}
