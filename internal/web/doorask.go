package web

import (
	"errors"
	"fmt"
	"strings"

	"kneepoint/internal/ask"
	"kneepoint/internal/report"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// An askRequest holds what was answered to the questions about a car, over what its
// scenario says already. Page asks for the answer to all of it.
type askRequest struct {
	Name    string       `json:"name,omitempty"`
	Text    string       `json:"text"`
	Answers []answerLine `json:"answers"`
	Page    bool         `json:"page,omitempty"`
}

type answerLine struct {
	Question string `json:"question"`
	Answer   string `json:"answer"`
}

func (r askRequest) check() error {
	const most = 100
	if len(r.Answers) > most {
		return fmt.Errorf("answers: read %d, want at most %d", len(r.Answers), most)
	}
	return openRequest{Name: r.Name, Text: r.Text}.check()
}

// An askReply says what is known, by question, and what was not understood.
type askReply struct {
	// Said is what the scenario says to each question.
	Said map[string]string `json:"said"`
	// Slips are the answers that are not understood: what was read, and what would be right.
	Slips map[string]string `json:"slips"`
	// Page and Document, the scenario that the answers make, are there if they were asked
	// for and nothing slipped. What nobody answered is not in the document: the other doors
	// would take it for known.
	Page     shownReply `json:"page"`
	Document string     `json:"document"`
	// Front is what is printed for the customer, by the name of the units.
	Front map[string]frontReply `json:"front"`
}

func (a *api) ask(w *responder, r *asked) {
	in, ok := read[askRequest](w, r, mostDocumentBody)
	if !ok {
		return
	}
	base, err := described(in.Name, in.Text)
	if err != nil {
		fail(w, err)
		return
	}
	answers := ask.New(base)
	out := askReply{Said: map[string]string{}, Slips: map[string]string{}}
	for _, q := range ask.Questions() {
		if said := answers.Said(&q); said != "" {
			out.Said[q.Name] = said
		}
	}
	for _, line := range in.Answers {
		if err := answers.Put(line.Question, line.Answer); err != nil {
			out.Slips[line.Question] = err.Error()
		}
	}
	if in.Page && len(out.Slips) == 0 {
		err = a.study(r.ctx, func() error { return out.find(r, answers) })
		var together *scenario.InputError
		if errors.As(err, &together) && len(together.Problems) > 0 {
			// Answers that do not go together are the page's to show beside the question.
			for _, p := range together.Problems {
				out.Slips[p.Key] = fmt.Sprintf("read %s, want %s", p.Read, p.Want)
			}
			err = nil
		}
		if err != nil {
			fail(w, err)
			return
		}
	}
	reply(w, statusOK, out)
}

// find asks the studies about the car that the answers make.
func (out *askReply) find(r *asked, answers *ask.Answers) error {
	car, err := answers.Car()
	if err != nil {
		return err
	}
	page, err := car.Page(r.ctx, nil)
	if err != nil {
		return err
	}
	out.Document = car.Scenario.Given()
	if out.Page, err = newShownReply(page); err != nil {
		return err
	}
	out.Front, err = newFrontReply(func(u si.System) *report.Front {
		f := FrontOfCar(page, u)
		// What is broken is mended before anything is bought.
		if with, do := Broken(&car.Scenario.Config); len(do) > 0 {
			f.Verdict, f.Do, f.Worth = append(with, f.Verdict...), do, answer.Table{}
		}
		return f
	})
	return err
}

// described reads what is known of a car, of the typical one nothing.
func described(name, text string) (*scenario.Scenario, error) {
	if strings.TrimSpace(text) == "" {
		return scenario.Builtin()
	}
	return scenario.Read(strings.NewReader(text), named(name))
}

// named is what a document is called in messages.
func named(name string) string {
	if name == "" {
		return "scenario.toml"
	}
	return name
}
