package cli

import (
	"encoding/json"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// unfinished is an answer that an interrupt or a failure cut short. It says so first.
type unfinished struct{ answer.Answer }

const stoppedEarly = "This is not all: it was stopped before the end, and what follows is what was found by then."

func (u unfinished) Words(units si.System) []string {
	return append([]string{stoppedEarly}, u.Answer.Words(units)...)
}

// Screen is that of the answer, or its words where it has none.
func (u unfinished) Screen(units si.System) answer.Screen {
	screened, ok := u.Answer.(answer.Screened)
	if !ok {
		return answer.Screen{Verdict: u.Words(units)}
	}
	s := screened.Screen(units)
	s.Verdict = append([]string{stoppedEarly}, s.Verdict...)
	return s
}

// Document is that of the answer with "whole": false.
func (u unfinished) Document() any {
	text, err := json.Marshal(u.Answer.Document())
	if err != nil {
		return u.Answer.Document() // and writing it says what is wrong with it
	}
	document := map[string]any{}
	if json.Unmarshal(text, &document) != nil {
		return u.Answer.Document()
	}
	document["whole"] = false
	return document
}
