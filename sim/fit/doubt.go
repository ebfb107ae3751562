package fit

import (
	"fmt"
	"math"

	"kneepoint/sim/si"
)

// doubts name what in the logs cannot well be, so that no figure of theirs is believed before
// it was looked at: a vacuum far below what this car's source gives, which would be just that
// in another of the usual units.
func (f *Fit) doubts(u si.System) []string {
	var words []string
	source := float64(f.s.Config.SourceVacuum())
	for c := range f.channels {
		column, d := f.column(c), f.drive(c)
		if column.Kind.Dimension() != si.DimVacuum || source <= 0 {
			continue
		}
		most := 0.0
		for i := range d.log.Points {
			most = max(most, d.log.Points[i].Mean(f.gaugeOf(c).column))
		}
		const low, near = 0.5, 0.25
		if most > low*source {
			continue
		}
		for _, unit := range []string{"inHg", "kPa", "psi", "mmHg", "mbar"} {
			scale, err := si.Parse(si.DimVacuum, "1 "+unit)
			would := most / column.Scale * scale
			if err != nil || math.Abs(would/source-1) > near || would > float64(f.s.Config.Ambient.Pressure) {
				continue
			}
			words = append(words, fmt.Sprintf("Doubtful: %q of %s shows no more than %s, where this car's source gives %s. Read in %s it would be %s: look at the unit in the header first. Until that is settled nothing below is an estimate of this car.",
				column.Header, d.log.Name, column.Show(most), column.Show(source), unit, si.FormatFine(si.DimVacuum, would, u)))
			break
		}
	}
	return words
}
