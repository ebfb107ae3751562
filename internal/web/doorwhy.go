package web

import (
	"fmt"
	"strings"
	"sync"

	"kneepoint/internal/diagnose"
	"kneepoint/internal/report"
	"kneepoint/sim/si"
)

// An interviewRequest goes on with the search for a fault, whose state is the text of the
// scenario: it answers what is asked next, or only asks what that is.
type interviewRequest struct {
	Name  string `json:"name,omitempty"`
	Text  string `json:"text"`
	Units string `json:"units"`
	// Answer is nil where nothing is answered; empty it is "can't tell".
	Answer *string `json:"answer,omitempty"`
	// Finish asks for the diagnosis of what was read so far.
	Finish bool `json:"finish,omitempty"`
}

func (r interviewRequest) check() error {
	const longest = 200
	if r.Answer != nil && len(*r.Answer) > longest {
		return fmt.Errorf("answer: read %d bytes, want at most %d", len(*r.Answer), longest)
	}
	if _, err := systemOf(r.Units); err != nil {
		return err
	}
	return openRequest{Name: r.Name, Text: r.Text}.check()
}

func systemOf(name string) (si.System, error) {
	for _, u := range []si.System{si.US, si.SI} {
		if u.String() == name {
			return u, nil
		}
	}
	return si.SI, fmt.Errorf("units: read %q, want us or si", name)
}

// An interviewReply is where the search stands.
type interviewReply struct {
	// Document is the scenario with all answers.
	Document string `json:"document"`
	// Read is how many readings it has.
	Read int `json:"read"`
	// Leading is what is most likely so far, in words.
	Leading string `json:"leading"`
	// Question is what is asked next; nil where the answer is sure or nothing tells more.
	Question *diagnose.Question `json:"question"`
	// Diagnosis is there where it was asked for, or no question is left.
	Diagnosis shownReply `json:"diagnosis"`
	// Front is there beside it: what is printed for the customer, by the name of the units.
	Front map[string]frontReply `json:"front"`
}

// interviews keeps those under way by their text: the cars with every fault that are
// simulated for the first question serve all that follow. One that is gone begins again
// from its text.
type interviews struct {
	mu   sync.Mutex
	kept []keptInterview // the latest last
}

type keptInterview struct {
	name, text string
	interview  *diagnose.Interview
	asked      diagnose.Question
	units      si.System
}

const mostInterviews = 4

// take hands out the interview of a text, if it is kept, and forgets it: who goes on with
// it gives it back.
func (k *interviews) take(name, text string) (keptInterview, bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	for i, one := range k.kept {
		if one.text == text && one.name == name {
			k.kept = append(k.kept[:i:i], k.kept[i+1:]...)
			return one, true
		}
	}
	return keptInterview{}, false
}

func (k *interviews) give(one keptInterview) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if len(k.kept) >= mostInterviews {
		k.kept = k.kept[1:]
	}
	k.kept = append(k.kept, one)
}

func (a *api) interview(w *responder, r *asked) {
	in, ok := read[interviewRequest](w, r, mostDocumentBody)
	if !ok {
		return
	}
	var out interviewReply
	if err := a.study(r.ctx, func() (err error) {
		out, err = a.goOn(r, in)
		return err
	}); err != nil {
		fail(w, err)
		return
	}
	reply(w, statusOK, out)
}

// goOn takes an answer, if there is one, and finds the next question.
func (a *api) goOn(r *asked, in interviewRequest) (interviewReply, error) {
	units, err := systemOf(in.Units)
	if err != nil {
		return interviewReply{}, err
	}
	name := named(in.Name)
	one, ok := a.interviews.take(name, in.Text)
	if !ok {
		one = keptInterview{name: name}
		text := in.Text
		if strings.TrimSpace(text) == "" {
			text = "[diagnose]\n" // an empty document is refused
		}
		if one.interview, err = diagnose.NewInterview(name, text); err != nil {
			return interviewReply{}, err
		}
	}
	v := one.interview
	if in.Answer != nil {
		if one.asked.Key == "" || one.units != units {
			if one.asked, _, err = v.Asked(r.ctx, units, nil); err != nil {
				return interviewReply{}, err
			}
			one.units = units
		}
		if err := v.Answer(one.asked, *in.Answer); err != nil {
			a.interviews.give(one)
			return interviewReply{}, err
		}
	}
	q, done, err := v.Asked(r.ctx, units, nil)
	if err != nil {
		return interviewReply{}, err
	}
	out := interviewReply{Document: v.Document(), Read: len(v.Scenario().Readings), Leading: v.Leading()}
	if !done {
		out.Question = &q
	}
	if done || in.Finish {
		d, err := v.Diagnosis(r.ctx, nil)
		if err != nil {
			return out, err
		}
		if out.Diagnosis, err = newShownReply(d); err != nil {
			return out, err
		}
		if out.Front, err = newFrontReply(func(u si.System) *report.Front { return FrontOfFault(d, u) }); err != nil {
			return out, err
		}
	}
	one.text, one.asked, one.units = v.Document(), q, units
	a.interviews.give(one)
	return out, nil
}
