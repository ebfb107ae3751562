package study

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"kneepoint/internal/batch"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A PartKind is a kind of part that can be fitted to a car.
type PartKind string

// The kinds of parts of a choice.
const (
	FitTank    PartKind = "tank"
	FitPump    PartKind = "pump"
	FitBooster PartKind = "other booster"
	FitTandem  PartKind = "tandem"
	FitBore    PartKind = "bore"
	FitManual  PartKind = "manual"
)

// partKinds are those kinds in the order in which a choice names them.
var partKinds = []PartKind{FitTank, FitPump, FitBooster, FitTandem, FitBore, FitManual}

// fitted lists the kinds of parts that a candidate has and the present car has not.
func (c candidate) fitted(present candidate) []PartKind {
	var kinds []PartKind
	if c.manualRatio > 0 {
		if present.manualRatio == 0 || c.manualRatio != present.manualRatio {
			kinds = append(kinds, FitManual)
		}
	} else if !c.keeps.booster {
		kind := FitBooster
		if len(c.booster.Diameters) > 1 {
			kind = FitTandem
		}
		kinds = append(kinds, kind)
	}
	if !c.keeps.bore {
		kinds = append(kinds, FitBore)
	}
	if c.reservoir > 0 && c.reservoir != present.reservoir {
		kinds = append(kinds, FitTank)
	}
	if c.pump && !present.pump {
		kinds = append(kinds, FitPump)
	}
	return kinds
}

// A Rival is the best option that fits a part of a kind.
type Rival struct {
	Kind   PartKind
	Option *ChooseOption
}

// rivals finds the best option of each kind that is not listed yet: the first that passes,
// options being in the order of a choice, or else the one that is nearest to it.
func rivals(options []ChooseOption, present candidate, listed ...*ChooseOption) []Rival {
	var out []Rival
	for _, kind := range partKinds {
		var best *ChooseOption
		for i := range options {
			o := &options[i]
			if slices.Contains(o.parts.fitted(present), kind) && !slices.Contains(listed, o) && (best == nil || !best.Passes && o.least() > best.least()) {
				best = o
			}
		}
		if best != nil {
			out = append(out, Rival{kind, best})
			listed = append(listed, best)
		}
	}
	return out
}

// inOrder sorts options: those that pass first, then the simplest, then those with the
// most room to failing.
func inOrder(options []ChooseOption) {
	slices.SortStableFunc(options, func(a, b ChooseOption) int {
		return cmp.Or(passing(b)-passing(a), cmp.Compare(a.parts.effort, b.parts.effort), cmp.Compare(b.least(), a.least()))
	})
}

// A Shortlist is a choice that looks no further than it has to: the simplest options of
// Choose, judged as there, until one passes.
type Shortlist struct {
	// Recommended is that of Choose; nil where none of those tried passes.
	Recommended *ChooseOption
	// Rivals are the best of each kind of part among those tried, but for the recommended.
	Rivals []Rival
	// Untried is how many combinations of the choice were left out.
	Untried int

	present  candidate
	criteria scenario.Choose
	// asItIs is the car without anything fitted; nil where that was not tried.
	asItIs *ChooseOption
}

// Wish lists what was asked of the options.
func (l *Shortlist) Wish(u si.System) string { return wished(l.criteria, u) }

// The levels of effort that a shortlist looks through in any case, so that each kind
// of part is there, and the most options that it tries beyond them.
const (
	shortlistLevel = workOfPump
	shortlistMost  = 48
)

// Shortlisted finds the shortlist of a scenario's choice.
func Shortlisted(ctx context.Context, s *scenario.Scenario, w Watch) (*Shortlist, error) {
	s, err := mended(s)
	if err != nil {
		return nil, err
	}
	l := &Shortlist{present: presentParts(s), criteria: s.Choose}
	all := candidates(s)
	slices.SortStableFunc(all, func(a, b candidate) int { return cmp.Compare(a.effort, b.effort) })
	var found []ChooseOption
	for len(all) > 0 {
		level := all[0].effort
		n := 0
		for n < len(all) && all[n].effort <= max(level, shortlistLevel) {
			n++
		}
		if len(found) > 0 && len(found)+n > shortlistMost {
			break
		}
		options, err := considerAll(ctx, s, all[:n], w)
		if err != nil {
			return nil, err
		}
		found, all = append(found, options...), all[n:]
		inOrder(found)
		if found[0].Passes {
			l.Recommended = &found[0]
			break
		}
	}
	if i := slices.IndexFunc(found, func(o ChooseOption) bool { return o.parts.isPresent(l.present) }); i >= 0 {
		l.asItIs = &found[i]
	}
	l.Untried = len(all)
	l.Rivals = rivals(found, l.present, l.Recommended)
	return l, nil
}

// considerAll judges candidates by their stops; the knee, by which none is judged, is
// left out.
func considerAll(ctx context.Context, s *scenario.Scenario, all []candidate, w Watch) ([]ChooseOption, error) {
	found, _, err := batch.Gather(ctx, len(all), w, func(ctx context.Context, i int) (Performance, error) {
		return all[i].performance(ctx, s, (*ChooseOption).simulateStops)
	})
	if err != nil {
		return nil, err
	}
	options := make([]ChooseOption, len(all))
	for i, c := range all {
		options[i] = *c.judged(s, found[i])
	}
	return options, nil
}

// Advice says what to buy, in one sentence, or to keep what is there.
func (l *Shortlist) Advice(u si.System) string {
	best := l.Recommended
	switch {
	case best == nil:
		text := "Nothing that is simply fitted meets all that was asked; the nearest of each kind stand below."
		if l.Untried > 0 {
			text += fmt.Sprintf(" Not tried: %s of more work (kneepoint choose).", counted(l.Untried, "combination"))
		}
		return text
	case best.parts.effort == 0:
		return "The parts that are there meet what was wished for; the rest is for more."
	}
	text := l.Fit(best, u) + "."
	if l.asItIs != nil && !l.asItIs.Passes {
		text += fmt.Sprintf(" As it is, at %s: %s.", demanded(l.criteria, u), l.asItIs.Short(u))
	}
	return text
}

// isPresent reports whether a candidate changes nothing.
func (c candidate) isPresent(present candidate) bool {
	return len(c.fitted(present)) == 0 && c.reservoir == present.reservoir && c.pump == present.pump
}

// Fit says what an option fits to the car: "Keep the 10 in booster and fit a 2 L tank".
func (l *Shortlist) Fit(o *ChooseOption, u si.System) string {
	if !o.parts.booster.None() && o.parts.keeps.booster {
		return o.parts.besides(l.present, u)
	}
	return "Fit " + o.text(u)
}

// Buys says that an option has a part that the car has not.
func (l *Shortlist) Buys(o *ChooseOption) bool { return len(o.parts.fitted(l.present)) > 0 }

// In returns the scenario with an option's parts in the car.
func (o *ChooseOption) In(s *scenario.Scenario) (*scenario.Scenario, error) { return o.parts.in(s) }

// Parts names in a few words what an option adds to the car: "7/8 in bore, 2 L tank".
func (l *Shortlist) Parts(o *ChooseOption, u si.System) string { return o.parts.added(l.present, u) }

// added names in a few words what a candidate adds to the present car.
func (c candidate) added(present candidate, u si.System) string {
	var names []string
	for _, kind := range c.fitted(present) {
		switch kind {
		case FitManual:
			names = append(names, fmt.Sprintf("no booster, pedal %.1f:1", float64(c.manualRatio)))
		case FitBooster, FitTandem:
			names = append(names, c.booster.String()+" booster")
		case FitBore:
			names = append(names, bore(c.bore, u)+" bore")
		case FitTank:
			names = append(names, si.FormatFine(si.DimVolume, float64(c.reservoir), si.SI)+" tank")
		case FitPump:
			names = append(names, "electric pump")
		}
	}
	if len(names) == 0 {
		return "as it is"
	}
	return strings.Join(names, ", ")
}
