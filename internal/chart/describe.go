package chart

import (
	"fmt"
	"strings"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// Describe puts into words what a figure shows, for those who do not see it: the axes,
// and the range, point or value of everything drawn, as a gauge shows it.
func Describe(fig answer.Figure, units si.System) string {
	var panels []string
	for _, p := range fig.Panels {
		panels = append(panels, describePanel(p, units))
	}
	return strings.Join(panels, " ")
}

func describePanel(p answer.Panel, units si.System) string {
	parts := append(describeCurves(p, units), describeBars(p, units)...)
	for _, m := range p.Marks {
		parts = append(parts, fmt.Sprintf("marked: %s at %s, %s", m.Label, si.Format(p.X.Dim, m.X, units), si.Format(p.Y.Dim, m.Y, units)))
	}
	for _, l := range p.Levels {
		dim := p.Y.Dim
		if l.Vertical {
			dim = p.X.Dim
		}
		parts = append(parts, fmt.Sprintf("line: %s at %s", l.Label, si.Format(dim, l.Value, units)))
	}
	for _, s := range p.Spans {
		parts = append(parts, fmt.Sprintf("shaded: %s, %s", s.Label, si.FormatSpan(p.X.Dim, s.From, s.To, units)))
	}
	if len(parts) == 0 {
		parts = []string{"nothing to show"}
	}
	head := p.X.Label
	if p.Y.Label != "" {
		head = p.Y.Label + " over " + strings.ToLower(p.X.Label)
	}
	return head + ": " + strings.Join(parts, "; ") + "."
}

func describeCurves(p answer.Panel, units si.System) []string {
	var parts []string
	for _, c := range p.Curves {
		var x, y extent
		for i := range c.X {
			if canDraw(c.X[i]) && canDraw(c.Y[i]) {
				x.add(c.X[i])
				y.add(c.Y[i])
			}
		}
		if !x.any {
			continue
		}
		label := c.Label
		if label == "" {
			label = "the curve"
		}
		along := si.FormatSpan(p.X.Dim, x.lo, x.hi, units)
		where := "from "
		if !spans(along) {
			where = "at "
		}
		parts = append(parts, lies(label, si.FormatSpan(p.Y.Dim, y.lo, y.hi, units))+", "+where+along)
	}
	if f := p.Field; f != nil {
		var z extent
		for _, column := range f.Z {
			z.add(column...)
		}
		if z.any {
			parts = append(parts, lies(f.Label, si.FormatSpan(f.Dim, z.lo, z.hi, units)))
		}
	}
	return parts
}

// lies says where values are that si.FormatSpan printed.
func lies(label, span string) string {
	if spans(span) {
		return label + " lies within " + span
	}
	return label + " is " + span
}

// spans says that si.FormatSpan printed two ends.
func spans(text string) bool { return strings.Contains(text, " to ") }

func describeBars(p answer.Panel, units si.System) []string {
	var parts []string
	for _, b := range p.Bars {
		text := barLabel(b, units) + ": " + si.Format(p.X.Dim, b.Value, units)
		if b.Low != b.High && canDraw(b.Low) && canDraw(b.High) {
			text += " (" + si.FormatSpan(p.X.Dim, b.Low, b.High, units) + ")"
		}
		parts = append(parts, text)
	}
	return parts
}
