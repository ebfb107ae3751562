package web

import "strings"

// A verbRequest asks for a verb's answer about a document.
type verbRequest struct {
	Verb     string `json:"verb"`
	Document string `json:"document"`
}

func (r verbRequest) check() error { return nil }

// The exit statuses of the command line.
const (
	verbDone  = 0
	verbWrong = 2
)

// verb answers as the command line does.
func (a *api) verb(w *responder, r *asked) {
	in, ok := read[verbRequest](w, r, mostDocumentBody)
	if !ok {
		return
	}
	if a.verbs == nil {
		refuse(w, statusNotFound, "there are no verbs here")
		return
	}
	var status int
	var out, trouble string
	err := a.study(r.ctx, func() error {
		status, out, trouble = a.verbs(r.ctx, in.Verb, in.Document)
		return r.ctx.Err()
	})
	lines := strings.Split(strings.TrimSpace(trouble), "\n")
	switch {
	case err != nil:
		fail(w, err)
	case status == verbDone:
		*w = responder{status: statusOK, kind: "application/json; charset=utf-8", body: []byte(out)}
	case status == verbWrong:
		reply(w, statusUnprocessableEntity, refusal{Error: lines[0], Problems: lines})
	default:
		reply(w, statusInternalServerError, refusal{Error: lines[len(lines)-1], Problems: lines})
	}
}
