package scenario

import (
	"errors"
	"strings"

	"kneepoint/sim/si"
)

// nearlyAll of a tolerance has to be possible: it may end just at a limit.
const nearlyAll = 0.99

// tooWide finds tolerances that reach beyond what can be: a car at the one end or the
// other would be refused by itself, so that no share of such cars means anything. A
// gauge's error may reach there, since it is no car that it reaches for.
func (s *Scenario) tooWide() []Problem {
	var problems []Problem
	for _, spread := range s.Spreads {
		set, given := s.set[spread.Path]
		if !given || spread.HalfWidth == 0 || spread.Estimated || strings.HasPrefix(spread.Path, "reading") {
			continue
		}
		for _, side := range []float64{-1, 1} {
			_, err := s.Edit([]Setting{SettingIn(spread.Path, spread.Dim, spread.Value+side*nearlyAll*spread.HalfWidth)})
			var refused *InputError
			if !errors.As(err, &refused) {
				continue
			}
			system := si.SI
			if us := spread.Dim.Unit(si.US).Name; us != "" && strings.Contains(set.value.text, us) {
				system = si.US
			}
			end := si.FormatFine(spread.Dim, spread.Value+side*spread.HalfWidth, system)
			problems = append(problems, set.place.problem(spread.Path, set.value.read()+", which reaches to "+end,
				"a tolerance that ends at what can be: "+refused.Problems[0].Want))
			break
		}
	}
	return problems
}
