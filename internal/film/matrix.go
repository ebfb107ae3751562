package film

import (
	"fmt"
	"math"
	"regexp"
	"strings"
)

// A matrix takes a point (x, y) to (a x + c y + e, b x + d y + f), as in SVG.
type matrix struct{ a, b, c, d, e, f float64 }

func scaling(k float64) matrix { return matrix{a: k, d: k} }

func (m matrix) apply(p point) point {
	return point{m.a*p.x + m.c*p.y + m.e, m.b*p.x + m.d*p.y + m.f}
}

// times applies n first, then m.
func (m matrix) times(n matrix) matrix {
	return matrix{
		m.a*n.a + m.c*n.b, m.b*n.a + m.d*n.b,
		m.a*n.c + m.c*n.d, m.b*n.c + m.d*n.d,
		m.a*n.e + m.c*n.f + m.e, m.b*n.e + m.d*n.f + m.f,
	}
}

// scale is by how much lengths grow.
func (m matrix) scale() float64 { return math.Sqrt(math.Abs(m.a*m.d - m.b*m.c)) }

var transformStep = regexp.MustCompile(`(\w+)\(([^)]*)\)`)

// parseTransform reads a transform attribute: translate, rotate and scale.
func parseTransform(text string) (matrix, error) {
	m := scaling(1)
	for _, step := range transformStep.FindAllStringSubmatch(text, -1) {
		v, err := parseNumbers(step[2])
		if err != nil {
			return m, err
		}
		switch name := step[1]; {
		case name == "translate" && len(v) == 2:
			m = m.times(matrix{1, 0, 0, 1, v[0], v[1]})
		case name == "scale" && len(v) == 1:
			m = m.times(scaling(v[0]))
		case name == "rotate" && (len(v) == 1 || len(v) == 3):
			sin, cos := math.Sincos(v[0] * math.Pi / 180)
			turn := matrix{cos, sin, -sin, cos, 0, 0}
			if len(v) == 3 {
				turn = matrix{1, 0, 0, 1, v[1], v[2]}.times(turn).times(matrix{1, 0, 0, 1, -v[1], -v[2]})
			}
			m = m.times(turn)
		default:
			return m, fmt.Errorf("transform %q is not drawn here", strings.TrimSpace(text))
		}
	}
	return m, nil
}
