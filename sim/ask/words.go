package ask

import (
	"fmt"
	"strings"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"
	"kneepoint/sim/verdict"
)

// Words say whether it stops, what would turn that, and what to buy.
func (p *Page) Words(u si.System) []string {
	words := []string{p.summary()}
	if p.axle == verdict.RearAxle {
		words = append(words, "In a panic "+p.axle.Lock()+" first. "+verdict.DangerousOrder)
	}
	return append(words, p.sureWords(u), p.list.Advice(u))
}

// summary is each situation with its verdict, in one paragraph.
func (p *Page) summary() string {
	text := "Will it stop?"
	for _, s := range p.Situations {
		if s.said != nil && s.Easy.Exists() {
			continue // the stops left up there are in the table
		}
		text += " " + capital(s.When) + ": " + s.Verdict + "."
	}
	return text
}

func capital(text string) string { return strings.ToUpper(text[:1]) + text[1:] }

// sureWords say which of the unknown figures to get first, and how.
func (p *Page) sureWords(u si.System) string {
	begin := fmt.Sprintf("All %d questions were answered.", p.asked)
	if p.blank > 0 {
		begin = fmt.Sprintf("%d of %d questions were not answered; the usual figures stand in for them.", p.blank, p.asked)
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
		return begin + fmt.Sprintf(" None of the %d figures that are not known exactly would turn a verdict by itself.", len(p.Turnings))
	}
	first := &p.Turnings[0]
	return begin + fmt.Sprintf(" %d of the %d figures that are not known exactly could turn a verdict. Measure first %s: %s.",
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
	for _, s := range p.Situations {
		var when answer.Cell = s.When
		if s.said != nil {
			when = answer.Phrase(s.said)
		}
		stops.Rows = append(stops.Rows, []answer.Cell{when, s.Deceleration.Cell(), s.Pedal.Cell(), s.Verdict})
	}
	tables := []answer.Table{stops}
	if len(p.Purchases) > 0 {
		buy := answer.Table{Name: "worth considering", Columns: []answer.Column{
			{Key: "parts", Title: "parts"}, {Key: "passes", Title: "passes"}, {Key: "why", Title: "why"},
		}}
		for _, b := range p.Purchases {
			buy.Rows = append(buy.Rows, []answer.Cell{answer.Phrase(b.fit), b.Option.Passes, answer.Phrase(b.Option.Reason)})
		}
		tables = append(tables, buy)
	}
	measure := answer.Table{Name: "measure first (each alone in its range, to an eighth of it; ranges are estimates)", Columns: []answer.Column{
		{Key: "figure", Title: "figure"},
		{Key: "range", Title: "may be"},
		{Key: "turns", Title: "turns a verdict in", Dim: si.DimRatio},
		{Key: "then", Title: "then"},
	}}
	for i := range p.Turnings {
		t := &p.Turnings[i]
		if i == mostTurnings || t.Share == 0 {
			break
		}
		measure.Rows = append(measure.Rows, []answer.Cell{t.Name, answer.Phrase(t.Range), t.Share, answer.Phrase(t.Then)})
	}
	if len(measure.Rows) > 0 {
		tables = append(tables, measure)
	}
	return tables
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
		Key      string       `json:"key"`
		Question any          `json:"question"`
		Name     string       `json:"name"`
		Value    answer.Maybe `json:"value"`
		Low      answer.Maybe `json:"low"`
		High     answer.Maybe `json:"high"`
		Other    any          `json:"other"`
		Share    float64      `json:"turns_share"`
		Then     any          `json:"then"`
		Measure  string       `json:"how_to_measure"`
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
	}{Unanswered: p.blank, Stops: p.Situations, Advice: p.list.Advice(si.SI), Purchases: []Purchase{}, Untried: p.list.Untried, Measure: []turns{}, Scenario: p.car.Document()}
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
		out := turns{Key: t.Key, Question: orNull(t.Question), Name: t.Name, Value: answer.Maybe(t.Value), Low: answer.Maybe(t.Low), High: answer.Maybe(t.High), Other: orNull(t.Other), Share: t.Share, Measure: t.Measure}
		if t.Other != "" {
			out.Value, out.Low, out.High = answer.None(), answer.None(), answer.None()
		}
		if t.Then != nil {
			out.Then = t.Then(si.SI)
		}
		d.Measure = append(d.Measure, out)
	}
	return d
}

var _ answer.Answer = (*Page)(nil)
