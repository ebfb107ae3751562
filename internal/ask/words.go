package ask

import (
	"fmt"
	"strings"

	"kneepoint/internal/verdict"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
	"kneepoint/sim/study"
)

// Words say where it stops worst, what would turn that, and what to buy.
func (p *Page) Words(u si.System) []string {
	words := []string{p.summary(u)}
	if p.axle == verdict.RearAxle {
		words = append(words, p.rearFirst(u))
	}
	return append(words, p.sureWords(), p.advice(u))
}

// advice is that of the choice, and where a panic asks for more than is easy with it,
// what else helps then.
func (p *Page) advice(u si.System) string {
	text := p.list.Advice(u)
	if p.list.Recommended == nil {
		return text
	}
	then := p.base.full.Panic.Pedal
	if len(p.Purchases) > 0 && p.Purchases[0].Kind == recommended {
		then = p.Purchases[0].Panic
	}
	if then.Value() <= verdict.EasyPedal {
		return text
	}
	var help *Purchase
	for i := range p.Purchases {
		b := &p.Purchases[i]
		if b.Option.Passes && b.Panic.Exists() && !(b.Panic.Value() >= then.Value()) && (help == nil || b.Panic.Value() < help.Panic.Value()) {
			help = b
		}
	}
	if help == nil {
		return text
	}
	return text + fmt.Sprintf(" In a panic most is gained by this: %s, %s at the pedal.", help.parts(u), verdict.Force(help.Panic.Value(), u))
}

// summary is the ordinary stop and the worst one.
func (p *Page) summary(u si.System) string {
	said := func(s *Situation) string {
		if !s.Pedal.Exists() {
			return s.Verdict
		}
		return verdict.Force(s.Pedal.Value(), u) + ", " + verdict.Effort(s.Pedal.Value())
	}
	worst := p.worst()
	text := "Will it stop? " + capital(p.Situations[ordinary].When) + ": " + said(&p.Situations[ordinary]) + "."
	if worst != ordinary {
		s := &p.Situations[worst]
		text += " Hardest, " + s.When + ": " + said(s) + "."
	}
	return text
}

// worst is the situation that asks most of the foot.
func (p *Page) worst() int {
	worst := ordinary
	for i := range p.Situations {
		if i >= atHome && p.car.PassAssumed {
			break // nobody said that it goes there
		}
		if p.Situations[i].worse(&p.Situations[worst]) {
			worst = i
		}
	}
	return worst
}

// worse says that a situation asks more of the foot.
func (s *Situation) worse(than *Situation) bool {
	if !s.Pedal.Exists() || !than.Pedal.Exists() {
		return than.Pedal.Exists() && !s.Pedal.Exists()
	}
	return s.Pedal.Value() > than.Pedal.Value()
}

func capital(text string) string { return strings.ToUpper(text[:1]) + text[1:] }

// sureWords say which of the unknown figures to get first, and how.
func (p *Page) sureWords() string {
	begin := fmt.Sprintf("All %d questions were answered.", p.asked)
	if p.blank > 0 {
		begin = fmt.Sprintf("%d of %d questions have no answer; usual figures stand in.", p.blank, p.asked)
	}
	turning := 0
	for _, t := range p.Turnings {
		if t.Share > 0 {
			turning++
		}
	}
	switch {
	case len(p.Turnings) == 0:
		return begin
	case turning == 0:
		return begin + fmt.Sprintf(" None of the %d uncertain figures would turn a verdict by itself.", len(p.Turnings))
	}
	first := &p.Turnings[0]
	return begin + fmt.Sprintf(" %d of %d uncertain figures could turn a verdict. Measure %s first: %s.",
		turning, len(p.Turnings), first.Name, first.Measure)
}

// Tables are the situations, the purchases, and what to measure.
func (p *Page) Tables() []answer.Table {
	stops := answer.Table{Name: "will it stop", Columns: []answer.Column{
		{Key: "when", Title: "when"},
		{Key: "deceleration", Title: "stop", Dim: si.DimAcceleration},
		{Key: "pedal", Title: "pedal", Dim: si.DimForce},
		{Key: "verdict", Title: "that is"},
	}}
	if p.Sure != nil {
		stops.Name = fmt.Sprintf("will it stop (sure: share of %d cars from all ranges doing no worse, ± %.2f)", p.Sure.Drawn, p.Sure.Error)
		stops.Columns = append(stops.Columns, answer.Column{Key: "sure", Title: "sure", Dim: si.DimRatio})
	}
	for i := range p.Situations {
		s := &p.Situations[i]
		row := []answer.Cell{s.called(), s.Deceleration.Cell(), s.Pedal.Cell(), s.Verdict}
		if p.Sure != nil {
			row = append(row, s.Sure.Cell())
		}
		stops.Rows = append(stops.Rows, row)
	}
	tables := []answer.Table{stops}
	if len(p.Purchases) > 0 {
		buy := answer.Table{Name: "worth considering", Columns: []answer.Column{
			{Key: "parts", Title: "fit"},
			{Key: "panic_pedal", Title: "panic", Dim: si.DimForce},
			{Key: "dead_stops", Title: "stops, engine dead"},
			{Key: "why", Title: "wish"},
		}}
		for _, b := range p.Purchases {
			buy.Rows = append(buy.Rows, []answer.Cell{answer.Phrase(b.parts), b.Panic.Cell(), b.dead(), answer.Phrase(b.why)})
		}
		tables = append(tables, buy)
	}
	measure := answer.Table{Name: "measure first (each alone over its range, an estimate, tried at eighths of it)", Columns: []answer.Column{
		{Key: "figure", Title: "figure"},
		{Key: "range", Title: "may be"},
		{Key: "turns", Title: "turns", Dim: si.DimRatio},
		{Key: "then", Title: "then"},
	}}
	most := mostTurnings
	if p.axle == verdict.RearAxle {
		most-- // its warning takes the room
	}
	for i := range p.Turnings {
		t := &p.Turnings[i]
		if i == most || t.Share == 0 {
			break
		}
		measure.Rows = append(measure.Rows, []answer.Cell{t.Name, answer.Phrase(t.Range), t.Share, answer.Phrase(t.Then)})
	}
	if len(measure.Rows) > 0 {
		tables = append(tables, measure)
	}
	return tables
}

// dead is how many stops are easy, and how many at most heavy.
func (b *Purchase) dead() string {
	if b.Option.ManualRatio.Exists() {
		return "the same"
	}
	return stopsWords(b.Easy, b.Heavy)
}

func stopsWords(easy, heavy int) string { return fmt.Sprintf("%d easy, %d at most heavy", easy, heavy) }

func (b *Purchase) why(u si.System) string {
	if b.Option.Passes {
		return "meets it"
	}
	return b.Option.Short(u)
}

// called is what a situation is called.
func (s *Situation) called() answer.Cell {
	if s.said != nil {
		return answer.Phrase(s.said)
	}
	return s.When
}

// Figures are none: the page is its words and tables.
func (p *Page) Figures() []answer.Figure { return nil }

// Document is the page for programs, with the scenario that the answers made.
func (p *Page) Document() any {
	type asked struct {
		Question string `json:"question"`
		Answer   string `json:"answer"`
	}
	type turns struct {
		Key      string                   `json:"key"`
		Question any                      `json:"question"`
		Name     string                   `json:"name"`
		Value    answer.Optional[float64] `json:"value"`
		Low      answer.Optional[float64] `json:"low"`
		High     answer.Optional[float64] `json:"high"`
		Other    any                      `json:"other"`
		Share    float64                  `json:"turns_share"`
		Then     any                      `json:"then"`
		Measure  string                   `json:"how_to_measure"`
	}
	orNull := func(text string) any {
		if text == "" {
			return nil
		}
		return text
	}
	d := struct {
		Answers     []asked     `json:"answers"`
		Unanswered  int         `json:"unanswered"`
		Stops       []Situation `json:"stops"`
		Advice      string      `json:"advice"`
		Recommended any         `json:"recommended"`
		Purchases   []Purchase  `json:"purchases"`
		Untried     int         `json:"untried"`
		Measure     []turns     `json:"measure_first"`
		Scenario    string      `json:"scenario"`
	}{Unanswered: p.blank, Stops: p.Situations, Advice: p.advice(si.SI), Purchases: []Purchase{}, Untried: p.list.Untried, Measure: []turns{}, Scenario: p.car.Document()}
	for i := range questions {
		q := &questions[i]
		text := p.car.answers.Said(q)
		if g, ok := p.car.answers.given[q.Name]; ok && g.known {
			text = g.text
		}
		if text == "" {
			text = DontKnow
		}
		d.Answers = append(d.Answers, asked{q.Name, text})
	}
	if p.list.Recommended != nil {
		d.Recommended = p.list.Recommended
	}
	d.Purchases = append(d.Purchases, p.Purchases...)
	for i := range p.Turnings {
		t := &p.Turnings[i]
		out := turns{Key: t.Key, Question: orNull(t.Question), Name: t.Name, Value: answer.Of(t.Value), Low: answer.Of(t.Low), High: answer.Of(t.High), Other: orNull(t.Other), Share: t.Share, Measure: t.Measure}
		if t.Other != "" {
			out.Value, out.Low, out.High = answer.None[float64](), answer.None[float64](), answer.None[float64]()
		}
		if t.Then != nil {
			out.Then = t.Then(si.SI)
		}
		d.Measure = append(d.Measure, out)
	}
	return d
}

var _ answer.Answer = (*Page)(nil)

// rearFirst says that the rear wheels lock first, and what to do about it.
func (p *Page) rearFirst(u si.System) string {
	return "In a panic " + p.axle.Lock() + " first. " + verdict.DangerousOrder + " " + study.RearFirstRemedy(p.car.Scenario.Config.Car, u)
}
