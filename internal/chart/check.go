package chart

import (
	"fmt"

	"kneepoint/sim/answer"
)

// check finds what no picture can be made of: lengths that do not match.
func check(fig answer.Figure) error {
	for i, p := range fig.Panels {
		for _, c := range p.Curves {
			if len(c.X) != len(c.Y) {
				return fmt.Errorf("figure %q, panel %d, curve %q: %d x values and %d y values",
					fig.Name, i+1, c.Label, len(c.X), len(c.Y))
			}
		}
		if p.Field == nil {
			continue
		}
		if len(p.Field.Z) != len(p.Field.X) {
			return fmt.Errorf("figure %q, panel %d, field %q: %d x values and %d columns",
				fig.Name, i+1, p.Field.Label, len(p.Field.X), len(p.Field.Z))
		}
		for k, column := range p.Field.Z {
			if len(column) != len(p.Field.Y) {
				return fmt.Errorf("figure %q, panel %d, field %q: %d y values and %d in column %d",
					fig.Name, i+1, p.Field.Label, len(p.Field.Y), len(column), k+1)
			}
		}
	}
	return nil
}
