package ask

import (
	"fmt"
	"strings"

	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// The page for who drives the car: the same figures without the words of who works on it.

// Verdict says what the foot needs in an ordinary stop and in the one that needs most.
func (p *Page) Verdict(u si.System) []string {
	needs := func(s *Situation) string {
		if !s.Pedal.Exists() {
			return s.Verdict
		}
		return fmt.Sprintf("%s on the pedal, %s", verdict.Force(s.Pedal.Value(), u), verdict.Effort(s.Pedal.Value()))
	}
	usual, hardest := &p.Situations[ordinary], &p.Situations[p.worst()]
	text := "An ordinary stop: " + needs(usual) + "."
	if needs(hardest) != needs(usual) {
		text += " The hardest, " + hardest.When + ": " + needs(hardest) + "."
	}
	words := []string{text}
	if p.axle == verdict.RearAxle {
		words = append(words, p.rearFirst(u))
	}
	return words
}

// Stops is what the foot needs in each situation.
func (p *Page) Stops() answer.Table {
	t := answer.Table{Columns: []answer.Column{
		{Key: "when", Title: "when"},
		{Key: "deceleration", Title: "stop of", Dim: si.DimAcceleration},
		{Key: "pedal", Title: "foot needs", Dim: si.DimForce},
		{Key: "verdict", Title: "that is"},
	}}
	if p.Sure != nil {
		t.Columns = append(t.Columns, answer.Column{Key: "sure", Title: "how sure"})
	}
	for i := range p.Situations {
		s := &p.Situations[i]
		slows := s.Deceleration
		if !slows.Exists() {
			slows = p.slows
		}
		row := []answer.Cell{s.called(), slows.Cell(), s.Pedal.Cell(), s.Verdict}
		if p.Sure != nil {
			row = append(row, percent(s.Sure))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

func percent(share answer.Optional[si.Ratio]) answer.Cell {
	if !share.Exists() {
		return nil
	}
	return fmt.Sprintf("%.0f %%", 100*float64(share.Value()))
}

// Notes say what the words and the percentages of the stops mean.
func (p *Page) Notes(u si.System) []string {
	notes := []string{fmt.Sprintf("Easy is up to %s on the pedal, heavy up to %s (common practice, no source). A panic stop is taken as what locks the first wheels on this road.",
		si.Format(si.DimForce, float64(verdict.EasyPedal), u), si.Format(si.DimForce, float64(verdict.HeavyPedal), u))}
	if p.Sure != nil {
		notes = append(notes, fmt.Sprintf("How sure: %d cars were drawn with all that was not measured somewhere in its range (estimates); so many of them do no worse, give or take %.0f %%.",
			p.Sure.Drawn, 100*p.Sure.Error))
	}
	return notes
}

// Advice is what to buy, in a sentence, and what it was held against.
func (p *Page) Advice(u si.System) []string {
	text := p.advice(u)
	if p.list.Recommended == nil {
		text = "Nothing that is simply fitted meets all that was asked."
		if len(p.Purchases) > 0 {
			text += " What comes nearest:"
		}
	}
	asked := "Asked was: " + p.list.Wish(u) + "."
	if len(p.Purchases) > 0 {
		asked += fmt.Sprintf(" Counted here are stops of %s.", si.Format(si.DimAcceleration, float64(p.counted.Value()), u))
	}
	return []string{text, asked}
}

// Worth compares the car as it is with what is worth considering: what meets all that was
// asked, or where nothing does, what comes nearest.
func (p *Page) Worth() answer.Table {
	falls := p.list.Recommended == nil
	var listed []*Purchase
	for i := range p.Purchases {
		if b := &p.Purchases[i]; falls || b.Option.Passes {
			listed = append(listed, b)
		}
	}
	if len(listed) == 0 {
		return answer.Table{}
	}
	t := answer.Table{Columns: []answer.Column{
		{Key: "parts", Title: "fit"},
		{Key: "panic_pedal", Title: "in a panic", Dim: si.DimForce},
		{Key: "dead_stops", Title: "stops, engine dead"},
	}}
	if falls {
		t.Columns = append(t.Columns, answer.Column{Key: "misses", Title: "falls short in"})
	}
	row := func(cells ...answer.Cell) { t.Rows = append(t.Rows, cells[:len(t.Columns)]) }
	today := "the same"
	if present := p.today; p.car.Scenario.Config.Booster.Kind != sim.BoosterNone {
		today = stopsWords(present.Dead.Easy, present.Dead.Heavy)
	}
	row("as it is", p.today.Panic.Pedal.Cell(), today, "")
	for _, b := range listed {
		row(answer.Phrase(b.parts), b.Panic.Cell(), b.dead(), b.Option.Nearest)
	}
	return t
}

// A Step is a figure to measure.
type Step struct {
	// What and May are its name and between what it may lie, Then what would change at
	// an end of that, and How how it is measured.
	What, May, Then, How string
}

// First are the figures whose measuring is most likely to turn the verdict.
func (p *Page) First(u si.System) []Step {
	var steps []Step
	for i := range p.Turnings {
		t := &p.Turnings[i]
		if i == mostTurnings || t.Share == 0 {
			break
		}
		s := Step{What: t.Name, May: t.Range(u), Then: t.Then(u), How: t.Measure}
		if s.What == t.Key { // no question asks for it
			s.What = strings.NewReplacer(".", " ", "_", " ").Replace(t.Key)
		}
		if s.How == "" {
			s.How = p.car.Scenario.HowToMeasure(t.Key)
		}
		steps = append(steps, s)
	}
	return steps
}
